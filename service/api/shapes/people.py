"""Shapes of people, their links, consents and pain."""

from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import Field

from service.api.shapes.common import Asked, Given, Id, IdOrNone, Line, Words
from service.records.gyms import Role, Sex

Name = Annotated[Line, Field(max_length=120, description="As the gym calls them.", examples=["Mira Holt"])]
Login = Annotated[
    Line, Field(max_length=120, description="For coaches and owners; athletes come by a link.", examples=["mira"])
]
HeightCm = Annotated[float, Field(ge=80, le=260, description="Turns sway and speeds into metres.", examples=[172.0])]
MassKg = Annotated[float, Field(ge=20, le=400, description="Turns demand into newtons.", examples=[68.5])]
Born = Annotated[date, Field(description="Tells who needs a guardian's consent.", examples=["1994-05-21"])]


class NewPerson(Asked):
    """Somebody who comes to the gym."""

    name: Name
    role: Annotated[Role, Field(description="What they are here.")] = "athlete"
    login: Login | None = None
    height_cm: HeightCm | None = None
    mass_kg: MassKg | None = None
    sex: Annotated[Sex | None, Field(description="Which table of body segments fits.")] = None
    born: Born | None = None


class PersonChange(Asked):
    """What is to be changed of a person; what is left out stays, null takes away."""

    name: Name | None = None
    login: Login | None = None
    height_cm: HeightCm | None = None
    mass_kg: MassKg | None = None
    sex: Sex | None = None
    born: Born | None = None
    ended: Annotated[
        bool | None, Field(description="True: no longer with this gym, and can no longer sign in; records stay.")
    ] = None


class PersonGiven(Given):
    """A person of the gym."""

    id: Id
    name: Name
    role: Role
    login: Annotated[str | None, Field(examples=["mira"])]
    height_cm: Annotated[float | None, Field(examples=[172.0])]
    mass_kg: Annotated[float | None, Field(examples=[68.5])]
    sex: Sex | None
    born: date | None
    created: datetime
    ended: Annotated[datetime | None, Field(description="Since when no longer with this gym.")]


class NewLink(Asked):
    """A link that lets one athlete in; for a coach or an owner, one by which they set their password, within a day."""

    days: Annotated[
        int | None, Field(ge=1, le=365, description="How long it counts; null: as the service is set.", examples=[90])
    ] = None
    clips_a_day: Annotated[int, Field(ge=1, le=1000, description="How many clips may come by it in a day.")] = 40


class LinkGiven(Given):
    """A link, without what opens it."""

    id: Id
    athlete_id: Id
    clips_a_day: Annotated[int, Field(examples=[40])]
    created: datetime
    expires: datetime
    revoked: datetime | None


class LinkMade(LinkGiven):
    """A new link; its address is shown this once."""

    address: Annotated[
        str | None,
        Field(
            description="What the athlete opens. Null where the answer is given again.",
            examples=["https://plumbrep.example/in#2Jv…"],
        ),
    ]


class NewConsent(Asked):
    """That an athlete agreed to being filmed and measured."""

    given_by: Annotated[Literal["athlete", "guardian"], Field(description="A minor's guardian agrees for them.")]
    guardian: Annotated[Line, Field(max_length=120, description="Who it was.", examples=["Ada Holt"])] | None = None


class ConsentGiven(Given):
    """A consent."""

    id: Id
    athlete_id: Id
    given_by: Literal["athlete", "guardian"]
    guardian: Annotated[str | None, Field(examples=["Ada Holt"])]
    given: datetime
    withdrawn: datetime | None


class NewPain(Asked):
    """That something hurt."""

    text: Annotated[Words, Field(description="What and when.", examples=["Left wrist, from the third rep on"])]
    clip: Annotated[Id, Field(description="The clip that it was in.")] | None = None


class PainGiven(Given):
    """A report of pain; while it is not cleared, no step up is offered."""

    id: Id
    athlete_id: Id
    clip_id: IdOrNone
    text: Annotated[str, Field(examples=["Left wrist, from the third rep on"])]
    made: datetime
    cleared: datetime | None
    cleared_by: IdOrNone

"""Shapes of movements, demand and paths: what needs no clip and no records."""

from typing import Annotated, Final, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from models.body.athlete import Athlete
from models.path import Available
from models.prescription.scaled import WrittenBand
from service.api.shapes.common import Asked, Given, Id
from service.demanding import Knob, Of

What = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=100_000),
    Field(
        description="A movement with the keys of a prescription, as on the command line; or a prescription's TOML.",
        examples=["push-up hands_raised_cm=30"],
    ),
]
RULES_EXAMPLE: Final = "step.largest = 8\nmove_on.sessions = 3\n"
Weight = Annotated[float, Field(gt=0, le=300)]
Percent = Annotated[float, Field(ge=1, le=400, description="What it is to ask, in %.", examples=[60.0])]


class MovementListed(Given):
    """A movement at a glance."""

    name: Annotated[str, Field(examples=["push-up"])]
    title: Annotated[str, Field(examples=["Push-up"])]
    group: Annotated[str, Field(examples=["push"])]
    usual: Annotated[Literal["reps", "hold"], Field(description="How it is usually done.")]
    driven_by: Annotated[str | None, Field(description="The angle whose turning makes a rep.", examples=["elbow"])]
    film_from: Annotated[list[str], Field(description="The view it is measured from first.", examples=[["side"]])]
    variants: Annotated[list[str], Field(description="The lightest first.", examples=[["knees", "hands-raised"]])]
    own: Annotated[bool, Field(description="A file of this machine's own folder, not of the catalogue.")]
    in_use: Annotated[bool, Field(description="Whether the gym uses it.")]


class Movements(Given):
    """The catalogue."""

    items: list[MovementListed]


class Body(Asked):
    """Who moves, as far as it is known."""

    sex: Literal["man", "woman"] | None = None
    height_cm: Annotated[float, Field(ge=80, le=260, examples=[172.0])] | None = None
    mass_kg: Annotated[float, Field(ge=20, le=400, examples=[68.5])] | None = None
    age: Annotated[float, Field(ge=0, le=120, examples=[34])] | None = None

    def as_athlete(self) -> Athlete:
        """The same, as the models take it."""
        return Athlete(sex=self.sex, height_cm=self.height_cm, mass_kg=self.mass_kg, age=self.age)


class Find(Asked):
    """Which value of one scaling makes it ask so much."""

    by: Annotated[Knob, Field(description="The scaling to look for.")]
    percent: Percent
    of: Annotated[Of | None, Field(description="% of body weight at the hands, or of the full version.")] = None


class DemandAsked(Asked):
    """What a variant, or a measured clip, asks of whom."""

    what: What
    clip: (
        Annotated[Id, Field(description="Of this measured clip; `what` then says with which variant and help.")] | None
    ) = None
    person: Annotated[Id, Field(description="Of this athlete of the gym.")] | None = None
    body: Body | None = None
    variants: Annotated[bool, Field(description="Also all variants of the movement.")] = False
    find: Find | None = None

    @model_validator(mode="after")
    def _one_body(self) -> Self:
        _refuse_both(self.person, self.body)
        return self


class AvailableAsked(Asked):
    """What is there to scale with."""

    bands_kg: Annotated[tuple[Weight, ...], Field(max_length=20, examples=[[5, 15]])] = ()
    boxes_cm: Annotated[tuple[Weight, ...], Field(max_length=50, examples=[[20, 40]])] = ()
    loads_kg: Annotated[tuple[Weight, ...], Field(max_length=50, examples=[[2.5, 5]])] = ()

    def as_available(self) -> Available:
        """The same, as the models take it."""
        bands = tuple(WrittenBand(kg=kg) for kg in self.bands_kg)
        return Available(bands=bands, boxes_cm=self.boxes_cm, loads_kg=self.loads_kg)


class PathAsked(Asked):
    """From what is owned to what is out of reach."""

    goal: What
    owns: Annotated[What | None, Field(description="What is owned; null: as the person's records show.")] = None
    person: (
        Annotated[Id, Field(description="The athlete of the gym; pain that nobody cleared halts the path.")] | None
    ) = None
    body: Body | None = None
    available: AvailableAsked = AvailableAsked()
    rules: Annotated[
        str | None,
        Field(max_length=100_000, description="Other rules than the usual ones, TOML.", examples=[RULES_EXAMPLE]),
    ] = None

    @model_validator(mode="after")
    def _enough(self) -> Self:
        _refuse_both(self.person, self.body)
        if self.owns is None and self.person is None:
            raise ValueError("say what is owned, with owns, or whose records show it, with person")
        return self


def _refuse_both(person: str | None, body: Body | None) -> None:
    if person is not None and body is not None:
        raise ValueError("give person or body, not both")

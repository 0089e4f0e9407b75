"""Shapes of review: the queue, rulings, corrections, notes, agreement."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from models.moved import Boundary
from service.api.shapes.common import EXAMPLE_NUMBER, Asked, Given, Id, IdOrNone, Share, Words
from service.api.shapes.results import Clock, JudgedEffort, Nth, Number
from service.records.review import RulingWord

EffortNumber = Annotated[int, Field(ge=1, lt=2**63, description="The rep or hold.", examples=[EXAMPLE_NUMBER])]
Second = Annotated[float, Field(ge=0, le=86_400, description="Seconds on the clip's clock.", examples=[12.4])]


class SetToReview(Given):
    """A set with what in it needs a person."""

    set_id: Number
    clip_id: Id
    athlete_id: Id
    n: Annotated[Nth, Field(description="Of its clip.")]
    movement: Annotated[str, Field(examples=["push-up"])]
    done: datetime
    start: Clock
    end: Clock
    efforts: Annotated[list[JudgedEffort], Field(description="Only those that are to be ruled on.")]


class NewRuling(Asked):
    """A coach's decision."""

    ruling: RulingWord
    effort: Annotated[
        EffortNumber | None, Field(description="Left out for a missing rep, or to have all filmed again.")
    ] = None
    start: Annotated[Second | None, Field(description="Where a missing rep begins.")] = None
    end: Annotated[Second | None, Field(description="Where it ends.")] = None
    note: Annotated[Words | None, Field(examples=["The chest did not come low enough"])] = None


class NewCorrection(Asked):
    """Boundaries of a rep's strokes, put by hand."""

    boundaries: Annotated[
        dict[Boundary, Second],
        Field(min_length=1, description="By stroke and end.", examples=[{"lowering.start": 3.2}]),
    ]


class NewNote(Asked):
    """A note to an athlete."""

    text: Annotated[Words, Field(examples=["Slower down, and rest longer between sets"])]
    athlete: Annotated[Id | None, Field(description="Left out where a clip or an effort says it.")] = None
    clip: Annotated[Id | None, Field(description="On this clip.")] = None
    effort: Annotated[EffortNumber | None, Field(description="On this rep or hold.")] = None


class NoteGiven(Given):
    """A note."""

    id: Id
    athlete_id: Id
    clip_id: IdOrNone
    effort_id: Number | None
    author_id: IdOrNone
    text: Annotated[str, Field(examples=["Slower down, and rest longer between sets"])]
    made: datetime


class AgreementGiven(Given):
    """How far rulings that were given blindly agree with the machine."""

    name: Annotated[str, Field(description="`verdict`: of whole reps and holds; else a check.", examples=["lowering"])]
    n: Annotated[int, Field(description="Rulings that it is told from.", examples=[64])]
    unsure: Annotated[int, Field(description="Rulings left out because the machine was unsure.", examples=[5])]
    share: Annotated[Share | None, Field(description="In which both said the same.")]
    kappa: Annotated[
        float | None, Field(description="Cohen's; null where one of both always said the same.", examples=[0.81])
    ]
    low: Annotated[float | None, Field(description="Of its 95 % interval.", examples=[0.64])]
    high: Annotated[float | None, Field(examples=[0.98])]


class Agreements(Given):
    """Agreement, overall and by check."""

    items: list[AgreementGiven]

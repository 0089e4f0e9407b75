"""Shapes of review: the queue, rulings, corrections, notes, agreement."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from models.moved import Boundary
from service.api.shapes.common import Asked, Given, Id, Words
from service.api.shapes.results import JudgedEffort, Number
from service.records.review import RulingWord

EffortNumber = Annotated[int, Field(ge=1, lt=2**63, description="The rep or hold.", examples=[4711])]
Second = Annotated[float, Field(ge=0, le=86_400, description="Seconds on the clip's clock.")]


class SetToReview(Given):
    """A set with what in it needs a person."""

    set_id: Number
    clip_id: Id
    athlete_id: Id
    n: Annotated[int, Field(description="Of its clip.")]
    movement: str
    done: datetime
    start: Annotated[float, Field(description="Seconds on the clip's clock.")]
    end: float
    efforts: Annotated[list[JudgedEffort], Field(description="Only those that are to be ruled on.")]


class NewRuling(Asked):
    """A coach's decision."""

    ruling: RulingWord
    effort: Annotated[
        EffortNumber | None, Field(description="Left out for a missing rep, or to have all filmed again.")
    ] = None
    start: Annotated[Second | None, Field(description="Where a missing rep begins.")] = None
    end: Annotated[Second | None, Field(description="Where it ends.")] = None
    note: Words | None = None


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
    clip_id: str | None
    effort_id: int | None
    author_id: str | None
    text: str
    made: datetime


class AgreementGiven(Given):
    """How far rulings that were given blindly agree with the machine."""

    name: Annotated[str, Field(description="`verdict`: of whole reps and holds; else a check.", examples=["lowering"])]
    n: Annotated[int, Field(description="Rulings that it is told from.")]
    unsure: Annotated[int, Field(description="Rulings left out because the machine was unsure.")]
    share: Annotated[float | None, Field(description="In which both said the same.")]
    kappa: Annotated[float | None, Field(description="Cohen's; null where one of both always said the same.")]
    low: Annotated[float | None, Field(description="Of its 95 % interval.")]
    high: float | None


class Agreements(Given):
    """Agreement, overall and by check."""

    items: list[AgreementGiven]

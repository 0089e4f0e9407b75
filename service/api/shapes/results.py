"""Shapes of what was measured."""

from datetime import date, datetime
from typing import Annotated, Any, Final

from pydantic import Field

from models.document import Status, VerdictWord
from service.api.shapes.common import EXAMPLE_CURSOR, EXAMPLE_NUMBER, Given, Id, IdOrNone, Share
from service.records.results import Kind
from service.records.review import RulingWord

Seconds = Annotated[float | None, Field(description="Seconds; null where there is no value.", examples=[3.1])]
U95 = Annotated[
    float | None, Field(description="Expanded uncertainty (95 %), in the unit of the value.", examples=[0.08])
]
Number = Annotated[int, Field(description="Number that is never given twice.", examples=[EXAMPLE_NUMBER])]
Nth = Annotated[int, Field(examples=[2])]
Clock = Annotated[float, Field(description="Seconds on the clip's clock.", examples=[12.4])]
ClockOrNone = Annotated[float | None, Field(description="Seconds on the clip's clock.", examples=[12.4])]
Reps = Annotated[int, Field(examples=[8])]
MOVED: Final = {"lowering": {"value": 3.1, "U95": 0.1, "unit": "s"}}
Corrected = Annotated[
    dict[str, Any] | None,
    Field(description="Measured anew after a coach moved a boundary; null where none was moved.", examples=[MOVED]),
]


class TempoGiven(Given):
    """A rep and its tempo."""

    id: Number
    athlete_id: Id
    clip_id: Id
    set_id: Number
    n: Annotated[Nth, Field(description="Of its set, from 1.")]
    done: Annotated[datetime, Field(description="When its clip was filmed, else when it came.")]
    movement: Annotated[str, Field(examples=["push-up"])]
    variant: Annotated[str | None, Field(description="As prescribed.", examples=["push-up, hands 30 cm up"])]
    status: Annotated[Status | None, Field(description="Only whole reps count.")]
    lowering_s: Seconds
    lowering_u95: U95
    bottom_pause_s: Seconds
    bottom_pause_u95: U95
    raising_s: Seconds
    raising_u95: U95
    top_pause_s: Seconds
    top_pause_u95: U95
    body_angle_deg: Annotated[
        float | None, Field(description="To the floor, or lean from the vertical; bent end.", examples=[17.5])
    ]
    body_angle_u95: U95
    verdict: Annotated[
        VerdictWord | None,
        Field(
            description="The machine's; null where nothing was prescribed, and to coaches while they are to rule blindly."
        ),
    ]
    ruling: Annotated[RulingWord | None, Field(description="The coach's newest; it counts where there is one.")]
    corrected: Corrected


class EffortGiven(TempoGiven):
    """A rep or a hold."""

    kind: Kind
    current: Annotated[bool, Field(description="False: the clip was measured again, forget this one.")]
    week: Annotated[date, Field(description="The Monday of the week, by the gym's clock.")]
    start: Clock
    end: Clock
    still_s: Annotated[float | None, Field(description="How long a hold was still.", examples=[10.2])]
    still_u95: U95
    sway_mm: Annotated[float | None, Field(description="RMS along the floor.", examples=[4.1])]
    sway_u95: U95


class CheckGiven(Given):
    """A measured value against its limits."""

    name: Annotated[str, Field(examples=["lowering"])]
    value: Annotated[float | None, Field(examples=[2.0])]
    u95: U95
    unit: Annotated[str | None, Field(examples=["s"])]
    low: Annotated[float | None, Field(examples=[2.5])]
    high: Annotated[float | None, Field(examples=[4.0])]
    p: Annotated[Share | None, Field(description="Probability that the limits are respected (JCGM 106).")]
    verdict: VerdictWord | None
    why: Annotated[str, Field(examples=["Lowering was 2.00 ±0.08 s, not as asked (at least 2.5 s)."])]
    advice: Annotated[str | None, Field(description="What to change.", examples=["Lower more slowly."])]


class RulingGiven(Given):
    """What a coach decided."""

    id: Id
    clip_id: Id
    effort_id: Number | None
    start: Annotated[ClockOrNone, Field(description="Of a missing rep: seconds on the clip's clock.")]
    end: ClockOrNone
    ruling: RulingWord
    note: Annotated[str | None, Field(examples=["The chest did not come low enough"])]
    blind: Annotated[bool, Field(description="Given before the machine's verdict was shown.")]
    coach_id: IdOrNone
    made: datetime


class CorrectionGiven(Given):
    """Boundaries that a coach moved, and what follows from them."""

    id: Id
    effort_id: Number
    boundaries: Annotated[dict[str, float], Field(examples=[{"lowering.start": 3.2}])]
    measured: Annotated[
        dict[str, Any],
        Field(description="Durations anew.", examples=[MOVED]),
    ]
    coach_id: IdOrNone
    made: datetime


class JudgedEffort(EffortGiven):
    """A rep or a hold with its checks. While it is to be ruled on blindly, a coach gets neither verdict nor checks."""

    checks: list[CheckGiven]
    blind: Annotated[bool, Field(description="Verdict and checks are held back until it is ruled on.")] = False


class EffortTold(JudgedEffort):
    """A rep or a hold with all that is known of it."""

    rulings: list[RulingGiven]
    corrections: list[CorrectionGiven]


class SetTold(Given):
    """A set with its reps and holds."""

    id: Number
    clip_id: Id
    athlete_id: Id
    n: Nth
    start: Clock
    end: Clock
    verdict: Annotated[
        VerdictWord | None, Field(description="Null to coaches, like `checks`, while one of its efforts is `blind`.")
    ]
    checks: Annotated[list[CheckGiven], Field(description="Of the set itself: its dose.")]
    efforts: list[JudgedEffort]


class Sets(Given):
    """The sets of a clip."""

    items: list[SetTold]


class MissingRep(Given):
    """A rep that a coach saw and the machine did not."""

    id: Id
    clip_id: Id
    start: ClockOrNone
    end: ClockOrNone
    ruling: RulingWord
    made: datetime


class DeletedGiven(Given):
    """What was deleted: forget all that was read of it."""

    resource: Annotated[str, Field(examples=["clip"])]
    resource_id: Id


class ChangesGiven(Given):
    """What is new since a cursor."""

    efforts: Annotated[list[EffortGiven], Field(description="New or changed; forget those that are not `current`.")]
    missing: list[MissingRep]
    deleted: list[DeletedGiven]
    next: Annotated[str, Field(description="Send it as `since` next time.", examples=[EXAMPLE_CURSOR])]
    more: Annotated[bool, Field(description="Whether to ask on at once.")]


class Sums(Given):
    """One athlete's week of one movement: whole reps, and holds, that no coach ruled to be none."""

    athlete_id: Id
    movement: Annotated[str, Field(examples=["push-up"])]
    week: Annotated[date, Field(description="Its Monday, by the gym's clock.")]
    reps: Reps
    holds: Reps
    met: Reps
    missed: Reps
    unsure: Reps
    ruled_met: Reps
    ruled_missed: Reps
    lowering_s: Annotated[float | None, Field(description="Mean.", examples=[3.1])]
    body_angle_deg: Annotated[float | None, Field(description="Mean.", examples=[17.5])]
    still_s: Annotated[float | None, Field(description="Mean.", examples=[10.2])]


class Summary(Given):
    """Sums by athlete, movement and week."""

    items: list[Sums]

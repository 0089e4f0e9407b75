"""The measurement document, version 1: what one clip shows, in numbers that carry their uncertainty.

Times are seconds on the clip's clock (0 = first shown frame). Joint angles follow goniometry: 0 = anatomical
straight, flexion positive. The JSON Schema is generated from these types: `json_schema()`.
"""

from typing import Annotated, Any, Final, Literal, Self

from pydantic import Field, model_validator

from models.quantity import Frozen, Q

VERSION: Final = "plumbrep.measurement/1"

Side = Literal["left", "right"]
Status = Literal["whole", "short", "failed", "cut_off"]
VerdictWord = Literal["met", "missed", "unsure"]
Seconds = Annotated[float, Field(ge=0)]


def _absent(value: object) -> bool:
    return value is None


def _empty(value: object) -> bool:
    return not value


class MadeBy(Frozen):
    """What made the measurement: enough to make it again."""

    program: str
    landmark_model: str
    settings: dict[str, Any]


class ClipFacts(Frozen):
    """The clip as it was found. `time_scale` is real seconds per second of the clip's clock."""

    sha256: str
    seconds: Seconds
    frames: int
    width: int
    height: int
    rate_mean: float
    rate_varies: bool
    rotation: int
    codec: str
    time_scale: float = 1


class Camera(Frozen):
    """How the phone stood: roll, pitch and yaw in degrees, the shake of the hand, the scale."""

    roll: Q
    pitch: Q
    yaw: Q
    level_from: Literal["sensor", "scene", "assumed"]
    shake: Q
    metres_per_pixel: Q


class Posture(Frozen):
    """The body at one moment of a rep, or the medians over a hold. A movement has `body` or `lean`, never both.

    `reach` is there only where it drives the movement: the height of the shoulders over the hands in % of the arm.
    """

    body: Annotated[Q | None, Field(exclude_if=_absent)] = None
    lean: Annotated[Q | None, Field(exclude_if=_absent)] = None
    trunk: Q
    legs: Q
    shoulder: Q
    elbow: Q
    hip: Q
    knee: Q
    reach: Annotated[Q | None, Field(exclude_if=_absent)] = None

    @model_validator(mode="after")
    def _one_tilt(self) -> Self:
        if (self.body is None) == (self.lean is None):
            raise ValueError("a posture has body or lean, never both and never neither")
        return self


class Stroke(Frozen):
    """One half of a rep.

    `swing` (travel of the hips along the floor against the hands, % of height) and `hip_range` (least to greatest hip
    angle) tell a strict stroke from a kipped one. `phases` are seconds spent in the parts of the range that the movement
    tells apart, by name; there only where it does.
    """

    start: Seconds
    end: Seconds
    duration: Q
    thirds: tuple[float, float, float]
    stops: Q
    swing: Q
    hip_range: Annotated[Q | None, Field(exclude_if=_absent)] = None
    phases: dict[str, Q] = Field(default_factory=dict, exclude_if=_empty)


class Worst(Frozen):
    """The worst hip angle sustained for 0.3 s, when it was, and the hip's largest distance from the body line."""

    hip: Q
    hip_at: Seconds | None
    deviation: Q


class Standard(Frozen):
    """Signed distance of a named body point from a named point, line or support, in % of body height."""

    name: str
    distance: Q


class Demand(Frozen):
    """What a measured posture asked of the body, without help and without added load (`models.body`).

    `end` is the posture that it is of, `hands` the force at the hands in % of body weight. `limiting` is what ranks the
    movement's variants: the same, or the moment at the joint `limit` in % of body weight x height.
    """

    end: Literal["straight", "bent", "held"]
    hands: Q
    limit: Literal["hands", "shoulder", "elbow", "hip", "knee"]
    limiting: Q


class Check(Frozen):
    """One measured value against its limits: the probability that they are respected, and what follows.

    `verdict` is None where a value is shown but not ruled on, as a stroke done as fast as possible. `advice` says in one
    sentence what to change, and is there only where the check was missed.
    """

    name: str
    measured: Q
    low: float | None
    high: float | None
    p: Annotated[float, Field(ge=0, le=1)] | None
    verdict: VerdictWord | None
    why: str
    advice: Annotated[str | None, Field(exclude_if=_absent)] = None


class Rep(Frozen):
    """One cycle of a movement. A lowering-only rep has no raising; a cut-off or failed one may lack either."""

    n: int
    status: Status
    start: Seconds
    end: Seconds
    lowering: Stroke | None
    raising: Stroke | None
    top_pause: Q
    bottom_pause: Q
    straight: Posture
    bent: Posture
    worst: Worst
    standards: tuple[Standard, ...] = ()
    demand: Annotated[Demand | None, Field(exclude_if=_absent)] = None
    checks: Annotated[tuple[Check, ...] | None, Field(exclude_if=_absent)] = None
    verdict: Annotated[VerdictWord | None, Field(exclude_if=_absent)] = None


class Sway(Frozen):
    """Motion of the centre of mass during a hold (de Leva 1996), along the floor and vertical."""

    along_floor: Q
    vertical: Q
    path: Q
    speed: Q
    ellipse: Q


class Hold(Frozen):
    """A stretch in which the posture stays still."""

    n: int
    start: Seconds
    end: Seconds
    still: Q
    drift: Q
    posture: Posture
    sway: Sway
    demand: Annotated[Demand | None, Field(exclude_if=_absent)] = None
    checks: Annotated[tuple[Check, ...] | None, Field(exclude_if=_absent)] = None
    verdict: Annotated[VerdictWord | None, Field(exclude_if=_absent)] = None


class Trend(Frozen):
    """A value by rep (None where it has none) and its slope over the set, per rep."""

    by_rep: tuple[float | None, ...]
    slope: Q


class Summary(Frozen):
    """A set at a glance. `first_missed` is the number of the first rep ruled missed; only a check fills it."""

    whole: int
    short: int
    failed: int
    cut_off: int
    lowering: Trend
    range: Trend
    raising_speed: Trend
    longest_rest: Q
    first_missed: int | None = None


class Set(Frozen):
    """Reps or holds with less than 10 s between them."""

    n: int
    start: Seconds
    end: Seconds
    near_side: Side
    reps: tuple[Rep, ...] = ()
    holds: tuple[Hold, ...] = ()
    summary: Summary
    checks: Annotated[tuple[Check, ...] | None, Field(exclude_if=_absent)] = None
    verdict: Annotated[VerdictWord | None, Field(exclude_if=_absent)] = None


class Document(Frozen):
    """All that was measured in one clip."""

    document: Literal["plumbrep.measurement/1"] = VERSION
    movement: str
    made_by: MadeBy
    clip: ClipFacts
    camera: Camera
    sets: tuple[Set, ...]
    not_measured: tuple[str, ...]
    notes: tuple[str, ...]


def json_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the document as it is written."""
    schema = Document.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}

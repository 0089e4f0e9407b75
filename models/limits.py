"""All limits that a prescription can write, under the names that the values have in the measurement document."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from models.faults import Contradiction
from models.limit import Limit, Strict

REP_PARTS = (
    "lowering", "bottom_pause", "raising", "top_pause", "lowering_phases", "raising_phases", "straight", "bent", "worst",
    "swing", "hip_range", "standards",
)  # fmt: skip
HOLD_PARTS = ("in_position", "drift", "posture", "sway")
SECONDS = ("lowering", "bottom_pause", "raising", "top_pause", "lowering_phases", "raising_phases", "in_position")
OF_HEIGHT = ("swing", "standards")
SWAY_UNITS = {"along_floor": "mm", "vertical": "mm", "path": "mm", "speed": "mm/s", "ellipse": "mm2"}

Name = Annotated[str, Field(pattern=r"^[a-z]+(-[a-z]+)*$", max_length=60)]


class PostureLimits(Strict):
    """Degrees, for the angles of a posture; % of the arm's length for `reach`."""

    body: Limit | None = None
    lean: Limit | None = None
    trunk: Limit | None = None
    legs: Limit | None = None
    shoulder: Limit | None = None
    elbow: Limit | None = None
    hip: Limit | None = None
    knee: Limit | None = None
    reach: Limit | None = None


class WorstLimits(Strict):
    """Worst hip angle sustained for 0.3 s (deg) and largest distance of the hip from the body line (% of it)."""

    hip: Limit | None = None
    deviation: Limit | None = None


class SwayLimits(Strict):
    """Millimetres, mm/s and mm2; checked only when written, and only when the athlete's height is known."""

    along_floor: Limit | None = None
    vertical: Limit | None = None
    path: Limit | None = None
    speed: Limit | None = None
    ellipse: Limit | None = None


class Limits(Strict):
    """Limits of reps (the first twelve) and of holds (the last four). What is not written here is not limited here."""

    lowering: Limit | None = None
    bottom_pause: Limit | None = None
    raising: Limit | None = None
    top_pause: Limit | None = None
    lowering_phases: dict[Name, Limit] = Field(default_factory=dict, max_length=20)
    """Seconds spent in a part of the lowering that the movement tells apart, by its name; likewise of the raising."""
    raising_phases: dict[Name, Limit] = Field(default_factory=dict, max_length=20)
    straight: PostureLimits = PostureLimits()
    bent: PostureLimits = PostureLimits()
    worst: WorstLimits = WorstLimits()
    swing: Limit | None = None
    """% of height: how far the hips travel along the floor against the hands, in the stroke in which they do more."""
    hip_range: Limit | None = None
    """Degrees by which the hip angle changes in a stroke, in the one in which it changes more."""
    standards: dict[Name, Limit] = Field(default_factory=dict, max_length=20)
    """% of height, by the standard's name: 0 is just reached, positive is past it."""
    in_position: Limit | None = None
    drift: Limit | None = None
    posture: PostureLimits = PostureLimits()
    sway: SwayLimits = SwayLimits()

    @classmethod
    def of(cls, limits: Mapping[str, Limit]) -> Self:
        """From dotted names, as `by_name` gives them."""
        tree: dict[str, Any] = {}
        for name, limit in limits.items():
            part, dot, what = name.partition(".")
            branch = tree.setdefault(part, {}) if dot else tree
            branch[what or part] = limit
        return cls.model_validate(tree)

    @model_validator(mode="after")
    def _possible(self) -> Self:
        for name, limit in self.by_name(REP_PARTS + HOLD_PARTS).items():
            low, high = possible(name)
            for end in (limit.low, limit.high):
                if end is not None and not low <= end <= high:
                    why = f"{end:g} {unit(name)} cannot be; write a value from {low:g} to {high:g}"
                    raise Contradiction(name, f"limits.{name}: {why}")
        return self

    def by_name(self, parts: tuple[str, ...]) -> dict[str, Limit]:
        """The limits that are written, by the dotted name of the value that each is for, as `bent.elbow`."""
        return dict(_flat(self, parts))


def unit(name: str) -> str:
    """Unit that a limit is written in."""
    part, _, what = name.partition(".")
    if part in SECONDS:
        return "s"
    if part == "sway":
        return SWAY_UNITS[what]
    if part in OF_HEIGHT:
        return "% of height"
    return "%" if what in ("deviation", "reach") else "deg"


def possible(name: str) -> tuple[float, float]:
    """Values between which a limit makes sense."""
    spans = {"deg": (-180.0, 270.0), "%": (-100.0, 100.0), "% of height": (-100.0, 100.0), "s": (0.0, 3600.0)}
    return spans.get(unit(name), (0.0, 1e6))


def _flat(limits: Limits, parts: tuple[str, ...]) -> Iterator[tuple[str, Limit]]:
    for part in parts:
        value = getattr(limits, part)
        if isinstance(value, Limit):
            yield part, value
        elif value is not None:
            entries = value.items() if isinstance(value, dict) else value
            yield from ((f"{part}.{what}", limit) for what, limit in entries if limit is not None)

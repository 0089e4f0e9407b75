"""Bodies and postures that the tests of `models.body` share."""

from models.body.build import Build, build_values
from models.body.figure import Figure, Posture, figure
from models.body.segments import Sex
from models.body.settle import Settled, settle, settle_from
from models.body.supports import Supports

MAN = Build.of(build_values("men"))
WOMAN = Build.of(build_values("women"))
BOTH = frozenset({"pitch", "shoulder"})
PITCH = frozenset({"pitch"})
SHOULDER = frozenset({"shoulder"})
NONE: frozenset[str] = frozenset()

ON_TOES = Supports("floor", "toes")
IN_STRAPS = Supports("straps", "flat", anchor=1.2j)
FROM_BAR = Supports("bar", "none")
ON_HANDS = Supports("floor", "none")
ON_FEET = Supports("none", "flat")


def build(sex: Sex = "mean") -> Build:
    return Build.of(build_values(sex))


def drawn(**angles: float) -> Figure:
    return figure(Posture(**{"pitch": 90.0, "shoulder": 0.0, **angles}), MAN)  # type: ignore[arg-type]


def push_up(elbow: float = 0.0, shoulder: float = 80.0, supports: Supports = ON_TOES) -> Settled:
    """At the straight end, or with hands and feet where they are there and the elbows bent."""
    straight = settle(Posture(10, shoulder), PITCH, supports, MAN)
    return straight if elbow == 0 else settle_from(straight, Posture(10, 0, elbow), BOTH, supports, MAN)

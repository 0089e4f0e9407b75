"""Published loads at the hands beside those of the model, and the table of docs/demand.md made from both.

`python -m tests.models.body.published` prints the table.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from models.body.athlete import Athlete
from models.body.demand import value_of
from models.body.situation import Situation
from models.movements.demand import Anchor, FootSupport, Pose

MAN, WOMAN, SOMEONE = Athlete(sex="man"), Athlete(sex="woman"), Athlete()
SAME = 4.0
"""Points of body weight within which model and study are said to agree."""

# Read in the papers' own abstracts, or "second-hand" as quoted by another page, or from memory.
Status = Literal["read", "second-hand", "from memory"]


@dataclass(frozen=True)
class Row:
    """One published value, % of body weight, and the set-ups of the model that stand for it.

    With two set-ups the published peak of a rep is compared with the nearer end of the model's range between them.
    """

    source: str
    what: str
    published: float
    status: Status
    who: Athlete
    setups: tuple[Situation, ...]
    agrees: bool = True

    @property
    def model(self) -> tuple[float, ...]:
        return tuple(value_of(setup, self.who, "hands", limit="hands") for setup in self.setups)

    @property
    def off(self) -> float:
        """Model minus study; zero where the study lies between the model's two ends."""
        low, high = min(self.model), max(self.model)
        return max(low - self.published, 0.0) - max(self.published - high, 0.0)


def push_up(
    *,
    down: bool = False,
    feet: FootSupport = "toes",
    shoulder: float | None = None,
    knee: float = 0,
    hands_raised: float = 0,
    feet_raised: float = 0,
) -> Situation:
    """Hands plumb under the shoulders (None), or arms at an angle from the trunk; down: elbows at a right angle."""
    straight = Pose(shoulder=shoulder, knee=knee)
    return Situation(
        belly="down",
        hands="floor",
        feet=feet,
        pose=Pose(elbow=90, knee=knee) if down else straight,
        start=straight if down else None,
        hands_raised=hands_raised,
        feet_raised=feet_raised,
    )


def lean_back(from_vertical: float, anchor: float) -> Situation:
    """Straight arms, feet flat under the straps' anchor."""
    pose = Pose(trunk=90 - from_vertical)
    return Situation(belly="up", hands="straps", feet="flat", pose=pose, anchor=Anchor(up=anchor))


MIER = "Mier et al. 2014"
SUPRAK = "Suprak et al. 2011"
EBBEN = "Ebben et al. 2011"
MELROSE = "Melrose & Dawes 2015"
GULMEZ = "Gulmez 2017"


def static_push_ups(source: str, status: Status, who: Athlete, name: str, values: tuple[float, ...]) -> Iterator[Row]:
    """Up and down, on the toes and on the knees with the lower legs lifted."""
    on_toes = [push_up(), push_up(down=True)]
    on_knees = [push_up(feet="knees", knee=60), push_up(down=True, feet="knees", knee=60)]
    names = ("up", "down", "on the knees, up", "on the knees, down")
    for what, published, setup in zip(names, values, [*on_toes, *on_knees], strict=True):
        yield Row(source, f"{name}, {what}", published, status, who, (setup,))


def peak(what: str, published: float, status: Status, *, agrees: bool = True, **setup: float) -> Row:
    """The peak over a rep, arms square to the body at the top: between the model's top and bottom."""
    knees: FootSupport = "knees" if "knee" in setup else "toes"
    ends = tuple(push_up(down=down, shoulder=90, feet=knees, **setup) for down in (False, True))
    return Row(EBBEN, what, published, status, SOMEONE, ends, agrees)


ROWS = (
    *static_push_ups(MIER, "read", MAN, "men", (67.0, 74.6, 52.5, 60.1)),
    *static_push_ups(MIER, "read", WOMAN, "women", (65.1, 70.3, 51.5, 56.6)),
    *static_push_ups(SUPRAK, "from memory", MAN, "men", (69.16, 75.04, 53.56, 61.80)),
    peak("peak of a rep", 64, "second-hand"),
    peak("on the knees", 49, "second-hand", knee=90),
    peak("hands on 30.48 cm", 55, "from memory", hands_raised=0.3048),
    peak("hands on 60.96 cm", 41, "second-hand", hands_raised=0.6096, agrees=False),
    peak("feet on 30.48 cm", 70, "from memory", feet_raised=0.3048),
    peak("feet on 60.96 cm", 74, "second-hand", feet_raised=0.6096),
    *(
        Row(MELROSE, f"{angle} deg from upright", published, "read", SOMEONE, (lean_back(angle, 1.0),))
        for angle, published in ((30, 37.44), (45, 52.88), (60, 68.08), (75, 79.38))
    ),
    Row(GULMEZ, "push-up in straps at 0 deg, elbows bent", 75.3, "read", MAN, (push_up(down=True),)),
    Row(GULMEZ, "the same, elbows straight", 50.4, "read", MAN, (push_up(),), agrees=False),
)


def table() -> list[str]:
    """The lines of the table in docs/demand.md."""
    head = ["| study | posture | published | status | model | off |", "|---|---|---|---|---|---|"]
    return head + [_line(row) for row in ROWS]


def _line(row: Row) -> str:
    model = " to ".join(f"{value:.1f}" for value in row.model)
    off = f"{row.off:+.1f}" if row.agrees else f"**{row.off:+.1f}**"
    return f"| {row.source} | {row.what} | {row.published:.1f} | {row.status} | {model} | {off} |"


if __name__ == "__main__":
    print("\n".join(table()))

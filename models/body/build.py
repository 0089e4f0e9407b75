"""How one athlete is built: masses, centres and lengths of the segments, with the doubt about each.

Every number that the demand depends on has a name, such as `mass.thigh` or `length.trunk`, so that its doubt can be
carried through (`models.body.propagate`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from models.body.lengths import CONTACTS, LENGTHS
from models.body.segments import Sex, segments

Values = Mapping[str, float]

MASS_U: Final = 0.08
"""Relative standard uncertainty of each segment's mass: the spread between young adults is 6 to 10 % (Zatsiorsky &
Seluyanov 1983; from memory). What one segment gains, all others lose."""
CENTRE_U: Final = 0.02
"""Standard uncertainty of each centre, as a share of the segment: de Leva's sexes differ by up to 0.05."""
LENGTH_U: Final = 0.04
"""Relative standard uncertainty of each length. De Leva's means differ from Drillis & Contini's by 1 to 6 % (the upper
arm, which ends elsewhere in the two, by 13 %; from memory), and people of one height differ about as much."""
CONTACT_U: Final = 0.01
"""Standard uncertainty of where a hand bears, as a share of height: the width of the heel of a hand."""


@dataclass(frozen=True, slots=True)
class Build:
    """Shares of body mass (arms and legs per side; together 1), of segment length, and of height."""

    mass: dict[str, float]
    centre: dict[str, float]
    length: dict[str, float]

    @classmethod
    def of(cls, values: Values) -> "Build":
        """From named values; masses are made to add up to 1."""
        mass = {name: values[f"mass.{name}"] for name in NAMES}
        whole = sum(share * (2 if name in PAIRED else 1) for name, share in mass.items())
        return cls(
            mass={name: share / whole for name, share in mass.items()},
            centre={name: values[f"centre.{name}"] for name in NAMES},
            length={name: values[f"length.{name}"] for name in (*LENGTHS, *CONTACTS)},
        )


NAMES: Final = tuple(segment.name for segment in segments())
PAIRED: Final = frozenset(segment.name for segment in segments() if segment.paired)


def build_values(sex: Sex) -> dict[str, float]:
    """The named values of a body from the tables."""
    values = {f"length.{name}": length for name, length in (LENGTHS | CONTACTS).items()}
    for segment in segments(sex):
        values[f"mass.{segment.name}"] = segment.mass
        values[f"centre.{segment.name}"] = segment.centre
    return values


def build_doubts() -> dict[str, float]:
    """Standard uncertainty of each of the named values."""
    doubts = {f"length.{name}": LENGTH_U * length for name, length in LENGTHS.items()}
    doubts |= {f"length.{name}": CONTACT_U for name in CONTACTS}
    for segment in segments("mean"):
        doubts[f"mass.{segment.name}"] = MASS_U * segment.mass
        doubts[f"centre.{segment.name}"] = CENTRE_U
    return doubts

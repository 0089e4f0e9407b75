"""The six ways to make a movement easier or harder, as frozen values.

Assistance, lowering-only, added load, static hold, leverage and angle, stability. A prescription holds a `Scalings`;
which of them suit a movement is said in the catalogue (`models.movements.applicable`). `models.body` turns the first
five into loads; stability is ranked, never computed.
"""

from typing import Annotated, Final, Literal, Self, get_args

from pydantic import Field, model_validator

from models.limit import Strict

ScalingName = Literal["assistance", "lowering_only", "load", "hold", "leverage", "stability"]
HelpAt = Literal["feet", "knees", "hips", "chest"]
LoadAt = Literal["belt", "vest", "back", "ankles"]
Lever = Literal["tuck", "advanced-tuck", "one-leg", "straddle", "full"]
Place = Literal["floor", "bars", "wall", "rings", "ball", "soft-mat"]
Leveraged = Literal["body", "hands_raised", "feet_raised"]

STABILITY: Final[dict[Place, int]] = {"wall": 0, "floor": 1, "bars": 1, "soft-mat": 2, "ball": 3, "rings": 3}
"""Rank of each support, the firmest 0 (common practice, no source). Ranks order; they say nothing of how much."""
UNCALIBRATED: Final = 0.30
"""Relative U95 of the pull of a band that nobody measured: what is printed on bands is off by up to a third (Martin-San
Agustin et al. 2023, J Sport Rehabil 32(2):220-226: 2 to 33 %)."""
CALIBRATED: Final = 0.05
"""Relative U95 of the pull of a band that was measured with a scale (common practice, no source)."""


class BandPoint(Strict):
    """One point of a band's calibration: how long it was and what it pulled, as a luggage scale shows it."""

    metres: Annotated[float, Field(gt=0, le=20)]
    kg: Annotated[float, Field(ge=0, le=300)]


class Band(Strict):
    """An elastic band that helps, hung from the hands' place or from somewhere above the body.

    Write `kg`, what it takes off at the hardest point, if that is all that is known (+-30 %); or `calibration`, at least
    two points, and the pull follows from the posture. `at` is where it holds the body.
    """

    at: HelpAt
    kg: Annotated[float, Field(gt=0, le=300)] | None = None
    calibration: Annotated[tuple[BandPoint, ...], Field(strict=False)] = ()
    metres_up: Annotated[float, Field(ge=-5, le=5)] = 0.0
    """Height of its upper end over the hands (0: looped over the bar or between the grips)."""
    over: Literal["hands", "body"] = "hands"
    """Whether that end is in line with the hands, or straight over where the band holds the body."""

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.kg is None) == (not self.calibration):
            raise ValueError("a band needs kg, what it takes off, or calibration, points of metres and kg; write one")
        if self.calibration:
            lengths = [point.metres for point in self.calibration]
            pulls = [point.kg for point in self.calibration]
            if len(lengths) < 2 or sorted(set(lengths)) != lengths or sorted(pulls) != pulls:
                raise ValueError("calibration: give at least two points, each longer than the last and pulling no less")
        return self


class Partner(Strict):
    """A partner's help. It has no number: nobody measured it."""

    at: HelpAt


class Load(Strict):
    """Added mass and where it hangs."""

    kg: Annotated[float, Field(gt=0, le=300)]
    at: LoadAt = "belt"


class StillHold(Strict):
    """A still hold at a point of a movement's range: the driving angle in degrees; None: the movement's own hold."""

    at: Annotated[float, Field(ge=-180, le=180)] | None = None


class Leverage(Strict):
    """A kinder or harder angle or lever. `body` fixes the angle, so it excludes the heights that would fix it too."""

    body: Annotated[float, Field(ge=-90, le=90)] | None = None
    """Degrees of the movement's body line to the floor."""
    hands_raised: Annotated[float, Field(ge=0, le=3)] | None = None
    """Metres over the floor."""
    feet_raised: Annotated[float, Field(ge=0, le=3)] | None = None
    lever: Lever | None = None
    """The variant of this name."""

    @model_validator(mode="after")
    def _not_twice(self) -> Self:
        if self.body is not None and (self.hands_raised is not None or self.feet_raised is not None):
            raise ValueError("the body angle follows from how high hands and feet are; write body or the heights")
        return self


class Scalings(Strict):
    """All scalings of one prescription; what is None is not used."""

    band: Band | None = None
    partner: Partner | None = None
    lowering_only: bool = False
    load: Load | None = None
    hold: StillHold | None = None
    leverage: Leverage | None = None
    stability: Place | None = None

    @property
    def assistance(self) -> Band | Partner | None:
        """What helps: the band, or the partner."""
        return self.band or self.partner

    @property
    def used(self) -> tuple[ScalingName, ...]:
        """Names of the scalings that are used, in the order of the design."""
        return tuple(name for name in get_args(ScalingName) if getattr(self, name) not in (None, False))

    @model_validator(mode="after")
    def _not_both(self) -> Self:
        if self.lowering_only and self.hold is not None:
            raise ValueError("a hold is not lowered; remove lowering_only or hold")
        if self.band is not None and self.partner is not None:
            raise ValueError("both a band and a partner help; remove one, or their help has no number")
        return self

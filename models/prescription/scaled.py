"""The scalings as a coach writes them: flat keys with their units, centimetres and kilograms; what is usual left out."""

from typing import Annotated, Literal, Self

from pydantic import Field, ValidationError, model_validator

from models.faults import Contradiction, describe
from models.limit import Strict
from models.movements import Movement
from models.movements.applicable import Applicable
from models.prescription.dose import Dose
from models.scaling import Band, BandPoint, HelpAt, Leverage, Load, LoadAt, Partner, Place, Scalings, StillHold
from models.suggest import did_you_mean

Centimetres = Annotated[float, Field(ge=0, le=300)]


class WrittenBandPoint(Strict):
    """How long the band was, in centimetres, and what it pulled, in kilograms."""

    cm: Annotated[float, Field(gt=0, le=2000)]
    kg: Annotated[float, Field(ge=0, le=300)]


class WrittenBand(Strict):
    """An elastic band: what it takes off in `kg` (+-30 %), or its `calibration`; `at` is where it holds the body."""

    at: HelpAt | None = None
    kg: Annotated[float, Field(gt=0, le=300)] | None = None
    calibration: Annotated[tuple[WrittenBandPoint, ...], Field(strict=False, max_length=100)] = ()
    above_hands_cm: Annotated[float, Field(ge=-500, le=500)] = 0.0
    """Height of its upper end over the hands."""
    over: Literal["hands", "body"] = "hands"
    """Whether that end is in line with the hands, or straight over where the band holds the body."""

    def as_band(self, usual: HelpAt) -> Band:
        """The band in metres, at its usual place where none is written."""
        points = tuple(BandPoint(metres=point.cm / 100, kg=point.kg) for point in self.calibration)
        up = self.above_hands_cm / 100
        return Band(at=self.at or usual, kg=self.kg, calibration=points, metres_up=up, over=self.over)

    @model_validator(mode="after")
    def _is_a_band(self) -> Self:
        try:
            self.as_band("feet")
        except ValidationError as fault:
            raise ValueError(describe(fault, Band).message.replace("metres", "cm")) from None
        return self


class WrittenPartner(Strict):
    """A partner's help, which has no number; `at` is where they take hold."""

    at: HelpAt | None = None


class WrittenLoad(Strict):
    """Added mass, and where it hangs."""

    kg: Annotated[float, Field(gt=0, le=300)]
    at: LoadAt | None = None


class Scaled(Dose):
    """A dose with the scalings of its movement that a coach chose."""

    band: WrittenBand | None = None
    partner: WrittenPartner | None = None
    load: WrittenLoad | None = None
    hold_at: Annotated[float, Field(ge=-180, le=180)] | None = None
    """The driving angle at which a hold stops a movement that is done in reps, degrees."""
    body_angle: Annotated[float, Field(ge=-90, le=90)] | None = None
    """Of the movement's body line to the floor, arms straight, degrees."""
    hands_raised_cm: Centimetres | None = None
    feet_raised_cm: Centimetres | None = None
    stability: Place | None = None

    def scalings_of(self, movement: Movement, variant: str | None) -> Scalings:
        """All scalings, the variant's own support and lever among them, as values in metres.

        Args:
            movement: The movement as the catalogue has it, not yet as one of its variants.
            variant: Name of the variant, if one is chosen.
        """
        usual = movement.scalings
        help_at: HelpAt = usual.help_at[0] if usual.help_at else "feet"
        load_at: LoadAt = usual.load_at[0] if usual.load_at else "belt"
        entry = movement.variants[variant] if variant else None
        lever = next((lever for lever in usual.levers if lever == variant), None)
        leverage = Leverage(
            body=self.body_angle,
            hands_raised=None if self.hands_raised_cm is None else self.hands_raised_cm / 100,
            feet_raised=None if self.feet_raised_cm is None else self.feet_raised_cm / 100,
            lever=lever,
        )
        return Scalings(
            band=None if self.band is None else self.band.as_band(help_at),
            partner=None if self.partner is None else Partner(at=self.partner.at or help_at),
            lowering_only=self.lowering_only,
            load=None if self.load is None else Load(kg=self.load.kg, at=self.load.at or load_at),
            hold=None if self.hold is None else StillHold(at=self.hold_at),
            leverage=None if leverage == Leverage() else leverage,
            stability=self.stability or (entry.support if entry else None),
        )

    @model_validator(mode="after")
    def _do_not_clash(self) -> Self:
        if self.band is not None and self.partner is not None:
            raise Contradiction("partner", "both band and partner are given; write one, the other as a note")
        if self.hold_at is not None and self.hold is None:
            raise Contradiction("hold_at", "hold_at says where to hold; write how long too, as hold = 10 (seconds)")
        for key in ("hands_raised_cm", "feet_raised_cm"):
            if self.body_angle is not None and getattr(self, key) is not None:
                why = f"body_angle follows from how high hands and feet are; write body_angle or {key}"
                raise Contradiction(key, why)
        return self


def check_applicable(written: Scaled, movement: Movement) -> None:
    """Refuse a scaling that the catalogue does not name for this movement.

    Raises:
        Contradiction: there is one.
    """
    for key, value, known in _chosen(written, movement.scalings):
        if value not in known:
            _refuse(key, value, known, movement)


def _chosen(written: Scaled, usual: Applicable) -> list[tuple[str, str, tuple[str, ...]]]:
    """Key, what is chosen by it, and what may be chosen."""
    band, partner, load = written.band, written.partner, written.load
    chosen: list[tuple[str, str | None, tuple[str, ...]]] = [
        ("band", "band" if band else None, usual.assistance),
        ("band.at", band.at if band else None, usual.help_at),
        ("partner", "partner" if partner else None, usual.assistance),
        ("partner.at", partner.at if partner else None, usual.help_at),
        ("lowering_only", "lowering_only" if written.lowering_only else None, usual.names),
        ("load", "load" if load else None, usual.names),
        ("load.at", load.at if load else None, usual.load_at),
        ("hold_at", None if written.hold_at is None else "hold", usual.names),
        ("body_angle", None if written.body_angle is None else "body", usual.leverage),
        ("hands_raised_cm", None if written.hands_raised_cm is None else "hands_raised", usual.leverage),
        ("feet_raised_cm", None if written.feet_raised_cm is None else "feet_raised", usual.leverage),
        ("stability", written.stability, usual.stability),
    ]
    return [(key, value, known) for key, value, known in chosen if value is not None]


def _refuse(key: str, value: str, known: tuple[str, ...], movement: Movement) -> None:
    if "." not in key and key != "stability":
        suits = ", ".join(movement.scalings.names) or "none"
        raise Contradiction(key, f"{key}: not a scaling of {movement.name} (its scalings: {suits}); remove it")
    hint = did_you_mean(value, known) or f" (known: {', '.join(known) or 'none'})"
    raise Contradiction(key, f"{key}: {value!r} does not suit {movement.name}{hint}")

"""A prescription: a variant with its dose and its limits."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from models.errors import MovementError
from models.faults import Contradiction
from models.limit import Limit
from models.movements import Movement, Reps, load_movement
from models.prescription.scaled import Scaled, check_applicable
from models.scaling import Scalings
from models.suggest import did_you_mean

SMALLEST_RANGE = 20.0
"""Degrees of the driving angle below which a rep could not be told from a wobble."""
BODY_TOLERANCE, JOINT_TOLERANCE = 5.0, 15.0
"""Degrees to either side of a written body angle, and of the joint that a hold is to be held at (common practice, no
source): the narrowest that a clip can show."""


class Prescription(Scaled):
    """What one athlete is to do: a variant of a movement with its scalings, its dose and its limits.

    Raises:
        pydantic.ValidationError: it contradicts itself, or there is no such movement or variant. `read_prescription`
            turns this into a `PrescriptionError`.
    """

    movement: Annotated[str, Field(max_length=100)]
    variant: Annotated[str | None, Field(max_length=100)] = None
    athlete: Annotated[str | None, Field(max_length=100)] = None
    note: Annotated[str | None, Field(max_length=1000)] = None
    strict: bool = False
    """Whether the movement's own limits on swing and on the range of the hip are asked for."""

    def scalings(self) -> Scalings:
        """All scalings, those that the variant brings among them, as values in metres and kilograms."""
        return self.scalings_of(load_movement(self.movement), self.variant)

    def rep_limits(self) -> dict[str, Limit]:
        """Limits of each rep by name: those of tempo, body angle and `strict`, and over them those written."""
        body = {} if self.body_angle is None else {"straight.body": around(self.body_angle, BODY_TOLERANCE)}
        return body | self._strict_limits() | super().rep_limits()

    def hold_limits(self) -> dict[str, Limit]:
        """Limits of each hold by name: those of the dose, body angle and `hold_at`, and over them those written."""
        body = {} if self.body_angle is None else {"posture.body": around(self.body_angle, BODY_TOLERANCE)}
        return body | self._hold_at_limits() | super().hold_limits()

    def _strict_limits(self) -> dict[str, Limit]:
        reps = load_movement(self.movement).reps
        if not self.strict or reps is None or reps.strict is None:
            return {}
        most = {"swing": reps.strict.swing, "hip_range": reps.strict.hip_range}
        return {name: Limit(high=value) for name, value in most.items() if value is not None}

    def _hold_at_limits(self) -> dict[str, Limit]:
        reps = load_movement(self.movement).reps
        if self.hold_at is None or reps is None:
            return {}
        tolerance = JOINT_TOLERANCE if reps.driving in ("elbow", "knee", "shoulder", "hip") else BODY_TOLERANCE
        return {f"posture.{reps.driving}": around(self.hold_at, tolerance)}

    def as_movement(self) -> Movement:
        """The movement as it is to be measured: the variant's line and hold, and the range that is asked for.

        A rep is whole or short of this range, so a clip that is to be judged must be measured with it.
        """
        movement = load_movement(self.movement).as_variant(self.variant)
        if movement.reps is None:
            return movement
        return movement.model_copy(update={"reps": self._as_reps(movement.reps)})

    def _as_reps(self, reps: Reps) -> Reps:
        straight, bent = reps.straight, reps.bent
        if wanted := getattr(self.limits.straight, reps.driving):
            straight = wanted.high if wanted.high is not None else max(straight, wanted.low)
        if wanted := getattr(self.limits.bent, reps.driving):
            bent = wanted.low if wanted.low is not None else min(bent, wanted.high)
        if bent - straight < SMALLEST_RANGE:
            end = "bent" if getattr(self.limits.bent, reps.driving) else "straight"
            raise Contradiction(
                f"limits.{end}.{reps.driving}",
                f"the limits of the {reps.driving} leave a range of {bent - straight:g} deg, too small for a rep; "
                f"ask for at least {SMALLEST_RANGE:g} deg, or prescribe a hold",
            )
        first = "lowering" if self.lowering_only else reps.first
        return reps.model_copy(
            update={"straight": straight, "bent": bent, "first": first, "lowering_only": self.lowering_only}
        )

    @model_validator(mode="after")
    def _fits_the_movement(self) -> Self:
        movement = self._movement()
        if self.reps is not None and movement.reps is None:
            raise Contradiction("reps", f"reps: {self.movement} has none, it is held; write hold = 10 (seconds)")
        if self.hold_at is not None and movement.reps is None:
            raise Contradiction("hold_at", f"hold_at: {self.movement} has no range to stop in; remove it")
        self._check_tilt(movement)
        self._check_strict(movement)
        self._check_names("standard", "standards", [standard.name for standard in movement.standards])
        for part in ("lowering_phases", "raising_phases"):
            self._check_names("phase", part, list(movement.reps.phases if movement.reps else ()))
        check_applicable(self, movement)
        self._check_support(movement)
        if self.reps is not None:
            self.as_movement()
        return self

    def _movement(self) -> Movement:
        key = "movement"
        try:
            movement = load_movement(self.movement)
            key = "variant"
            return movement.as_variant(self.variant)
        except MovementError as fault:
            raise Contradiction(key, str(fault)) from fault

    def _check_strict(self, movement: Movement) -> None:
        if not self.strict:
            return
        if self.hold is not None:
            raise Contradiction("strict", "strict has no meaning for a hold; remove it")
        if movement.reps is None or movement.reps.strict is None:
            instead = "write limits.swing or limits.hip_range"
            raise Contradiction(
                "strict", f"strict: the catalogue does not say what is strict in {self.movement}; {instead}"
            )

    def _check_names(self, what: str, part: str, known: list[str]) -> None:
        for name in getattr(self.limits, part):
            if name not in known:
                hint = did_you_mean(name, known) or f" (known: {', '.join(known) or 'none'})"
                key = f"limits.{part}.{name}"
                raise Contradiction(key, f"{key}: {self.movement} has no such {what}{hint}")

    def _check_support(self, movement: Movement) -> None:
        own = movement.variants[self.variant].support if self.variant else None
        if own is not None and self.stability not in (None, own):
            why = f"stability: the variant {self.variant} is on {own}, not on {self.stability}; change one of them"
            raise Contradiction("stability", why)

    def _check_tilt(self, movement: Movement) -> None:
        if self.body_angle is not None and (movement.tilt != "body" or self._turns_in_the_rep(movement)):
            says = f"body_angle does not apply: {self.movement} has none that stays; limit an angle instead"
            raise Contradiction("body_angle", says)
        other, why = ("lean", "level") if movement.tilt == "body" else ("body", "upright or inverted")
        for name in self.limits.by_name(("straight", "bent", "posture")):
            if name.endswith(f".{other}"):
                instead = f"limits.{name.replace(other, movement.tilt)}"
                says = f"limits.{name} does not apply: {self.movement} is {why}; write {instead}"
                raise Contradiction(f"limits.{name}", says)

    def _turns_in_the_rep(self, movement: Movement) -> bool:
        return self.reps is not None and movement.reps is not None and movement.reps.driving == "body"


def around(value: float, tolerance: float) -> Limit:
    """A band to either side of a value."""
    return Limit(low=value - tolerance, high=value + tolerance)

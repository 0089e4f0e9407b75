"""A prescription: a variant with its dose and its limits; reading and checking it."""

import tomllib
from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, ValidationError, model_validator

from models.errors import MovementError, PrescriptionError
from models.faults import describe
from models.limit import Limit, Strict
from models.limits import HOLD_PARTS, REP_PARTS, Limits
from models.movements import Movement, Reps, load_movement
from models.tempo import EXAMPLE, WrittenTempo, hold_limit

SMALLEST_RANGE = 20.0
"""Degrees of the driving angle below which a rep could not be told from a wobble."""
LARGEST_FILE = 100_000
"""Bytes. A prescription is a page of text; anything larger is something else."""
AFTER_LOWERING = ("bottom_pause", "raising", "top_pause")


class Prescription(Strict):
    """What one athlete is to do: sets of reps, or sets of one hold each (`hold`, seconds), within limits.

    With `lowering_only` the raising and the pauses beside it are not checked.

    Raises:
        MovementError: no such movement or variant.
        pydantic.ValidationError: it contradicts itself. `read_prescription` turns this into a `PrescriptionError`.
    """

    movement: Annotated[str, Field(max_length=100)]
    variant: Annotated[str | None, Field(max_length=100)] = None
    athlete: Annotated[str | None, Field(max_length=100)] = None
    note: Annotated[str | None, Field(max_length=1000)] = None
    sets: Annotated[int, Field(ge=1, le=100)] = 1
    reps: Annotated[int, Field(ge=1, le=1000)] | None = None
    hold: Annotated[float, Field(ge=1, le=3600)] | None = None
    tempo: WrittenTempo | None = None
    lowering_only: bool = False
    limits: Limits = Limits()

    def rep_limits(self) -> dict[str, Limit]:
        """Limits of each rep by name: the tempo's own, and over them those written."""
        limits = (self.tempo.limits() if self.tempo else {}) | self.limits.by_name(REP_PARTS)
        skipped = AFTER_LOWERING if self.lowering_only else ()
        return {name: limit for name, limit in limits.items() if name not in skipped}

    def hold_limits(self) -> dict[str, Limit]:
        """Limits of each hold by name: the dose, and over it those written."""
        dose = {} if self.hold is None else {"in_position": hold_limit(self.hold)}
        return dose | self.limits.by_name(HOLD_PARTS)

    def as_fast_as_possible(self) -> tuple[str, ...]:
        """Parts of a rep that are written X and have no limit of their own."""
        asked = self.tempo.asked() if self.tempo else {}
        limits = self.rep_limits()
        skipped = AFTER_LOWERING if self.lowering_only else ()
        return tuple(
            part for part, digit in asked.items() if digit == "X" and part not in limits and part not in skipped
        )

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
            raise ValueError(
                f"the limits of the {reps.driving} leave a range of {bent - straight:g} deg, too small for a rep; "
                f"ask for at least {SMALLEST_RANGE:g} deg, or prescribe a hold"
            )
        first = "lowering" if self.lowering_only else reps.first
        return reps.model_copy(
            update={"straight": straight, "bent": bent, "first": first, "lowering_only": self.lowering_only}
        )

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        movement = load_movement(self.movement).as_variant(self.variant)
        self._check_dose(movement)
        self._check_tempo()
        self._check_tilt(movement)
        if self.reps is not None:
            self.as_movement()
        return self

    def _check_dose(self, movement: Movement) -> None:
        if (self.reps is None) == (self.hold is None):
            found = "no dose is given" if self.reps is None else "both reps and hold are given"
            raise ValueError(f"{found}; write either reps = 8, or hold = 10 (seconds)")
        if self.reps is not None and movement.reps is None:
            raise ValueError(f"reps: {self.movement} has none, it is held; write hold = 10 (seconds)")
        foreign, kind = (HOLD_PARTS, "reps") if self.hold is None else (REP_PARTS, "a hold")
        for name in self.limits.by_name(foreign):
            raise ValueError(f"limits.{name} has no meaning for {kind}; remove it")
        if self.hold is not None and (limit := self.limits.in_position) and not limit.admits(self.hold):
            raise ValueError(f"limits.in_position ({limit}) excludes the hold of {self.hold:g} s; change one of them")

    def _check_tempo(self) -> None:
        if self.hold is not None and (self.tempo is not None or self.lowering_only):
            raise ValueError(
                f"both hold and {'tempo' if self.tempo else 'lowering_only'} are given; remove one of them"
            )
        if self.lowering_only:
            for part in AFTER_LOWERING:
                if getattr(self.limits, part) is not None:
                    raise ValueError(f"limits.{part} is not checked when lowering_only is true; remove one of them")
        if self.tempo is None:
            return
        if self.tempo.lowering == 0 or (self.tempo.raising == 0 and not self.lowering_only):
            raise ValueError("tempo: a stroke cannot take 0 s; write X for one that is as fast as possible")
        if self.tempo.raising is None and not self.lowering_only:
            raise ValueError(f"tempo: one place, not four; write it as {EXAMPLE}, or add lowering_only = true")
        for part, digit in self.tempo.asked().items():
            limit: Limit | None = getattr(self.limits, part)
            if limit and not isinstance(digit, str) and not limit.admits(digit):
                raise ValueError(f"limits.{part} ({limit}) excludes the {digit:g} s of the tempo; change one of them")

    def _check_tilt(self, movement: Movement) -> None:
        other, why = ("lean", "level") if movement.tilt == "body" else ("body", "upright or inverted")
        for name in self.limits.by_name(("straight", "bent", "posture")):
            if name.endswith(f".{other}"):
                raise ValueError(
                    f"limits.{name} does not apply: {self.movement} is {why}; write limits.{name.replace(other, movement.tilt)}"
                )


def read_prescription(path: Path) -> Prescription:
    """Read a prescription from a TOML file.

    Raises:
        PrescriptionError: it cannot be read, is not TOML, or is wrong or contradicts itself.
        MovementError: no such movement or variant.
    """
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise PrescriptionError(f"cannot read {path}: {fault.strerror}; give the path of a TOML file") from fault
    return parse_prescription(data, path.name)


def parse_prescription(data: bytes, name: str) -> Prescription:
    """Read a prescription from the bytes of a TOML file; `name` is what messages call it.

    Raises:
        PrescriptionError: it is not TOML, or is wrong or contradicts itself.
        MovementError: no such movement or variant.
    """
    if len(data) > LARGEST_FILE:
        raise PrescriptionError(f"{name}: too large for a prescription ({len(data)} bytes); give a TOML file")
    try:
        return Prescription.model_validate(tomllib.loads(data.decode("utf-8-sig")))
    except ValidationError as fault:
        raise PrescriptionError(f"{name}: {describe(fault, Prescription)}") from fault
    except UnicodeDecodeError as fault:
        raise PrescriptionError(f"{name}: not text in UTF-8; save it as such, or give a TOML file") from fault
    except (ValueError, RecursionError) as fault:  # a number or a nesting beyond reason is no TOMLDecodeError
        raise PrescriptionError(f"{name}: not valid TOML: {fault}; text needs quotes, numbers none") from fault
    except MovementError as fault:
        raise MovementError(f"{name}: {fault}") from fault

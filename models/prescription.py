"""A prescription: a variant with its dose and its limits; reading and checking it."""

import re
import tomllib
from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, ValidationError, model_validator

from models.dose import Dose
from models.errors import MovementError, PrescriptionError
from models.faults import Contradiction, describe
from models.movements import Movement, Reps, load_movement, movement_names
from models.place import Place, find

SMALLEST_RANGE = 20.0
"""Degrees of the driving angle below which a rep could not be told from a wobble."""
LARGEST_FILE = 100_000
"""Bytes. A prescription is a page of text; anything larger is something else."""
SYNTAX_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$")
"""How the TOML reader ends a message."""


class Prescription(Dose):
    """What one athlete is to do: a variant of a movement, its dose and its limits.

    Raises:
        MovementError: no such movement or variant.
        pydantic.ValidationError: it contradicts itself. `read_prescription` turns this into a `PrescriptionError`.
    """

    movement: Annotated[str, Field(max_length=100)]
    variant: Annotated[str | None, Field(max_length=100)] = None
    athlete: Annotated[str | None, Field(max_length=100)] = None
    note: Annotated[str | None, Field(max_length=1000)] = None

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
        movement = load_movement(self.movement).as_variant(self.variant)
        if self.reps is not None and movement.reps is None:
            raise Contradiction("reps", f"reps: {self.movement} has none, it is held; write hold = 10 (seconds)")
        self._check_tilt(movement)
        if self.reps is not None:
            self.as_movement()
        return self

    def _check_tilt(self, movement: Movement) -> None:
        other, why = ("lean", "level") if movement.tilt == "body" else ("body", "upright or inverted")
        for name in self.limits.by_name(("straight", "bent", "posture")):
            if name.endswith(f".{other}"):
                instead = f"limits.{name.replace(other, movement.tilt)}"
                says = f"limits.{name} does not apply: {self.movement} is {why}; write {instead}"
                raise Contradiction(f"limits.{name}", says)


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

    A message names the line of the key that is wrong, and its column where that is sure.

    Raises:
        PrescriptionError: it is not TOML, or is wrong or contradicts itself.
        MovementError: no such movement or variant.
    """
    if len(data) > LARGEST_FILE:
        raise PrescriptionError(f"{name}: too large for a prescription ({len(data)} bytes); give a TOML file")
    try:
        text = data.decode("utf-8-sig")
        tree = tomllib.loads(text)
    except UnicodeDecodeError as fault:
        raise PrescriptionError(f"{name}: not text in UTF-8; save it as such, or give a TOML file") from fault
    except (ValueError, RecursionError) as fault:  # a number or a nesting beyond reason is no TOMLDecodeError
        raise PrescriptionError(_syntax(name, str(fault))) from fault
    try:
        return Prescription.model_validate(tree)
    except ValidationError as fault:
        wrong = describe(fault, Prescription)
        raise PrescriptionError(f"{_at(name, find(text, wrong.key))}: {wrong.message}") from fault
    except MovementError as fault:
        key = "variant" if tree.get("movement") in movement_names() else "movement"
        raise MovementError(f"{_at(name, find(text, [key]))}: {fault}") from fault


def _at(name: str, place: Place | None) -> str:
    return f"{name}, {place}" if place else name


def _syntax(name: str, message: str) -> str:
    found = SYNTAX_PLACE.search(message)
    place = Place(int(found[1]), int(found[2])) if found else None
    return f"{_at(name, place)}: not valid TOML: {SYNTAX_PLACE.sub('', message)}; text needs quotes, numbers none"

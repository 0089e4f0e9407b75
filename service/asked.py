"""A variant as it is named on the command line: a movement and the keys of a prescription, or a prescription's file."""

import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from models.errors import PrescriptionError
from models.faults import describe
from models.movements import load_movement
from models.path.rules import StartDoses
from models.path.start import start_dose
from models.prescription import Prescription, read_prescription

KEY = re.compile(r"[a-z_]+(\.[a-z_-]+)*")
TEXTS: Final = frozenset(
    {"variant", "athlete", "note", "tempo", "stability", "band.at", "band.over", "partner.at", "load.at"}
)
"""Keys whose values are text and need no quotes here."""
EXAMPLE = "push-up reps=8 tempo=5-1-1-0 hands_raised_cm=30 limits.bent.elbow.low=90"


def read_asked(words: Sequence[str], doses: StartDoses | None = None) -> Prescription:
    """Read `push-up reps=8 hands_raised_cm=30` or `plan.toml`; without a dose, the one that a step starts at is taken.

    Raises:
        BadInput: there is no such movement or key, a value is wrong, or the file is.
    """
    if not words:
        raise PrescriptionError(f"name a movement, as {EXAMPLE}, or a prescription's file")
    if words[0].endswith(".toml"):
        if len(words) > 1:
            raise PrescriptionError(f"{words[0]} says everything; remove {words[1]}, or write a movement in its place")
        return read_prescription(Path(words[0]))
    tree: dict[str, Any] = {"movement": words[0], **_tree(words[1:])}
    movement = load_movement(words[0])
    if "reps" not in tree and "hold" not in tree:
        only = tree.get("lowering_only") is True
        dose = start_dose(movement, doses or StartDoses(), held="hold_at" in tree or None, lowering_only=only)
        tree = dose.model_dump(mode="json", exclude_defaults=True) | tree
    try:
        return Prescription.model_validate(tree)
    except ValidationError as fault:
        raise PrescriptionError(describe(fault, Prescription).message) from fault


def _tree(words: Sequence[str]) -> dict[str, Any]:
    lines = []
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not KEY.fullmatch(key):
            raise PrescriptionError(f"{word!r} is not KEY=VALUE; write it as in {EXAMPLE}")
        lines.append(f"{key} = {_literal(key, value)}")
    try:
        return tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError as fault:
        raise PrescriptionError(f"the keys do not go together: {str(fault).partition(' (at')[0]}") from fault


def _literal(key: str, value: str) -> str:
    """A value as TOML: text that needs quotes gets them."""
    quoted = f'"{value}"' if value[:1] != '"' else value
    for literal in (quoted,) if key in TEXTS else (value, quoted):
        try:
            tomllib.loads(f"x = {literal}")
        except tomllib.TOMLDecodeError:
            continue
        return literal
    raise PrescriptionError(f"{key}: {value!r} cannot be read; write it as in {EXAMPLE}")

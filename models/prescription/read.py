"""Reading a prescription: from a TOML file to a value, or to one line that says where and what is wrong."""

import re
import tomllib
from pathlib import Path

from pydantic import ValidationError

from models.errors import MovementError, PrescriptionError
from models.faults import describe
from models.movements import movement_names
from models.place import Place, find
from models.prescription.prescribed import Prescription

LARGEST_FILE = 100_000
"""Bytes. A prescription is a page of text; anything larger is something else."""
SYNTAX_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$")
"""How the TOML reader ends a message."""


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

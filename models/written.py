"""Reading what a coach wrote as TOML: to a value, or to one line that says where and what is wrong."""

import re
import tomllib
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from models.errors import BadInput
from models.faults import describe
from models.place import Place, find

Written = TypeVar("Written", bound=BaseModel)
LARGEST_FILE = 100_000
"""Bytes. What a coach writes is a page or a few of text; anything larger is something else."""
SYNTAX_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$")
"""How the TOML reader ends a message."""


def read_bytes(path: Path, error: type[BadInput]) -> bytes:
    """The bytes of a file.

    Raises:
        BadInput: of the kind `error`; it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as fault:
        raise error(f"cannot read {path}: {fault.strerror}; give the path of a TOML file") from fault


def parse_written(data: bytes, name: str, model: type[Written], error: type[BadInput], what: str) -> Written:
    """Read a value from the bytes of a TOML file; `name` is what messages call the file, and `what` what it should be.

    A message names the line of the key that is wrong, and its column where that is sure.

    Raises:
        BadInput: of the kind `error`; it is too large, is not TOML, or something in it is wrong.
    """
    if len(data) > LARGEST_FILE:
        raise error(f"{name}: too large for {what} ({len(data)} bytes); give a TOML file")
    try:
        text = data.decode("utf-8-sig")
        tree = tomllib.loads(text)
    except UnicodeDecodeError as fault:
        raise error(f"{name}: not text in UTF-8; save it as such, or give a TOML file") from fault
    except (ValueError, RecursionError) as fault:  # a number or a nesting beyond reason is no TOMLDecodeError
        raise error(_syntax(name, str(fault))) from fault
    try:
        return model.model_validate(tree)
    except ValidationError as fault:
        wrong = describe(fault, model)
        raise error(f"{_at(name, find(text, wrong.key))}: {wrong.message}") from fault


def _at(name: str, place: Place | None) -> str:
    return f"{name}, {place}" if place else name


def _syntax(name: str, message: str) -> str:
    found = SYNTAX_PLACE.search(message)
    place = Place(int(found[1]), int(found[2])) if found else None
    return f"{_at(name, place)}: not valid TOML: {SYNTAX_PLACE.sub('', message)}; text needs quotes, numbers none"

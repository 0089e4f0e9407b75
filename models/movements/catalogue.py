"""Finding and reading the files of the catalogue: those that come with Plumbrep, and a coach's own.

A coach's own files lie in the folder that the environment variable `PLUMBREP_MOVEMENTS` names, or else in `movements`
in the user's data folder for Plumbrep. One file is one movement; the file's name is the movement's.
"""

import os
import re
import tomllib
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Final

from platformdirs import user_data_path
from pydantic import ValidationError
from pydantic_core import to_json

from models.errors import MovementError
from models.faults import describe
from models.movements.movement import NAME, Movement
from models.place import find
from models.suggest import did_you_mean

FOLDER_VARIABLE: Final = "PLUMBREP_MOVEMENTS"
LARGEST_FILE: Final = 200_000
"""Bytes. The largest file here is a tenth of it; anything larger is something else."""


def own_folder() -> Path:
    """Where a coach's own movement files are looked for. It need not exist, unless the variable names it."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_data_path("plumbrep") / "movements"


def movement_names() -> tuple[str, ...]:
    """Names of all movements, sorted: those of the catalogue and the coach's own.

    Raises:
        MovementError: the folder that the environment names cannot be read, or an own file has the name of a movement
            of the catalogue.
    """
    own = own_movements()
    for name in own.keys() & _built_in().keys():
        raise _taken(own[name])
    return tuple(sorted(own.keys() | _built_in().keys()))


def own_movements() -> dict[str, Path]:
    """The coach's own movements and their files, sorted by name.

    Raises:
        MovementError: the folder that the environment names cannot be read.
    """
    folder = own_folder()
    try:
        return {file.stem: file for file in sorted(folder.iterdir()) if file.suffix == ".toml"}
    except OSError as fault:
        if isinstance(fault, FileNotFoundError) and not os.environ.get(FOLDER_VARIABLE):
            return {}
        raise MovementError(
            f"the folder of own movements, {folder}, cannot be read: {fault.strerror}; set {FOLDER_VARIABLE} to a folder"
        ) from fault


def load_movement(name: str) -> Movement:
    """Read one movement.

    Raises:
        MovementError: no such movement, or its file is faulty, or two files have its name.
    """
    own = own_movements().get(name)
    if name in _built_in():
        if own is not None:
            raise _taken(own)
        return _read_built_in(name)
    if own is None:
        known = movement_names()
        raise MovementError(f"unknown movement {name!r}{did_you_mean(name, known)} (known: {', '.join(known)})")
    return _read_own(own)


def parse_movement(data: bytes, name: str, said: str) -> Movement:
    """Read a movement from the bytes of its file; `said` is what messages call the file.

    Raises:
        MovementError: it is not TOML, or something in it is wrong; the message names the line.
    """
    if len(data) > LARGEST_FILE:
        raise MovementError(f"{said}: too large for a movement ({len(data)} bytes); give a TOML file")
    try:
        text = data.decode("utf-8-sig")
        tree = tomllib.loads(text)
    except (ValueError, RecursionError) as fault:  # not text, or a number or a nesting beyond reason
        raise MovementError(f"{said}: not valid TOML: {fault}") from fault
    try:
        # By way of JSON, in which strict types take an array for a tuple, but no text for a number.
        return Movement.model_validate_json(to_json({**tree, "name": name}), strict=True)
    except ValidationError as fault:
        wrong = describe(fault, Movement)
        place = find(text, wrong.key)
        raise MovementError(f"{said}{f', {place}' if place else ''}: {wrong.message}") from fault


@cache
def _built_in() -> dict[str, Traversable]:
    return {
        file.name.removesuffix(".toml"): file
        for file in files("models.movements").iterdir()
        if file.name.endswith(".toml")
    }


@cache
def _read_built_in(name: str) -> Movement:
    return parse_movement(_built_in()[name].read_bytes(), name, f"the catalogue's {name}.toml")


def _read_own(file: Path) -> Movement:
    if not re.fullmatch(NAME, file.stem):
        raise MovementError(f"{file}: name the file in small letters, digits and hyphens, as hip-hinge.toml")
    try:
        data = file.read_bytes()
    except OSError as fault:
        raise MovementError(f"cannot read {file}: {fault.strerror}") from fault
    return parse_movement(data, file.stem, str(file))


def _taken(file: Path) -> MovementError:
    return MovementError(f"{file}: the catalogue has a movement {file.stem!r} of its own; give the file another name")

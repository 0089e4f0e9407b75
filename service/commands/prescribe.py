"""`plumbrep prescribe`: a prescription as a file, from its keys or from a step of a path."""

from pathlib import Path
from typing import Annotated

import typer
from pydantic import ValidationError

from models import path as paths
from models.errors import BadInput, PathError, PrescriptionError
from models.faults import describe
from models.movements import load_movement
from models.prescription import Prescription, with_usual_limits, write_prescription
from service.asked import read_asked
from service.output import require_writable, write_text
from service.words import CAUTION

Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[MOVEMENT [KEY=VALUE ...]]", help="What to do, with the keys of a prescription.", show_default=False
    ),
]


def prescribe(
    words: Words = None,
    *,
    path: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Take it from this path (plumbrep path --json).", show_default=False),
    ] = None,
    step: Annotated[int | None, typer.Option(min=0, metavar="N", help="Which step of it.", show_default=False)] = None,
    usual: Annotated[bool, typer.Option("--usual", help="Add the limits that the catalogue calls usual.")] = False,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FILE", help="The file to write.", show_default=False)
    ] = None,
) -> None:
    """Write a prescription."""
    plan = _plan(words or [], path, step)
    text = with_cautions(_with_usual(plan) if usual else plan)
    if out is None:
        typer.echo(text, nl=False)
        return
    require_writable(out)
    write_text(out, text)
    typer.echo(f"wrote {out}")


def _plan(words: list[str], path: Path | None, step: int | None) -> Prescription:
    if (path is None) != (step is None):
        raise BadInput("--path and --step go together: name the path's file and the number of a step")
    if path is None or step is None:
        return read_asked(words)
    if words:
        raise BadInput(f"the step of a path says everything; remove {words[0]!r}, or leave out --path and --step")
    steps = read_path(path).steps
    if step >= len(steps):
        raise PathError(f"{path.name} has no step {step}; its last one is {len(steps) - 1}")
    return steps[step].prescription


def read_path(file: Path) -> paths.Path:
    """Read a path as `plumbrep path --json` writes it.

    Raises:
        PathError: it cannot be read, or is none.
    """
    try:
        return paths.Path.model_validate_json(file.read_bytes())
    except OSError as fault:
        raise PathError(f"cannot read {file}: {fault.strerror}; give a file that plumbrep path --json wrote") from fault
    except ValidationError as fault:
        raise PathError(f"{file.name} is not a path; write one with plumbrep path --json") from fault


def _with_usual(plan: Prescription) -> Prescription:
    try:
        return with_usual_limits(plan)
    except ValidationError as fault:
        why = describe(fault, Prescription).message
        raise PrescriptionError(f"the usual limits do not fit this prescription: {why}; leave out --usual") from fault


def with_cautions(plan: Prescription) -> str:
    """The prescription as TOML, the movement's cautions above it as comments."""
    cautions = (*load_movement(plan.movement).cautions, CAUTION)
    return "".join(f"# {line}\n" for line in cautions) + "\n" + write_prescription(plan)

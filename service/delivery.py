"""Hand a document to the user: tables to read, JSON to keep."""

from collections.abc import Callable
from pathlib import Path

import typer
from pydantic import BaseModel

from models.document import Document
from service.output import require_writable, write_text
from service.tables import show, stdout_console

STDOUT = Path("-")


def require_deliverable(json: Path | None, clip: Path) -> None:
    """Refuse a JSON file that cannot be written, before the clip is measured.

    Raises:
        OutputError: see `require_writable`.
    """
    if json is not None and json != STDOUT:
        require_writable(json, clip)


def deliver(document: Document, json: Path | None) -> None:
    """Hand over a measurement; see `hand_over`."""
    hand_over(document, json, lambda: show(document, stdout_console()))


def hand_over(document: BaseModel, json: Path | None, tables: Callable[[], None]) -> None:
    """Write JSON first, so that a reader who closes the pipe on the tables still has it; JSON to a pipe comes alone.

    Raises:
        OutputError: the JSON file cannot be written.
    """
    text = document.model_dump_json(indent=2)
    if json == STDOUT:
        typer.echo(text)
        return
    if json is not None:
        write_text(json, text + "\n")
    tables()

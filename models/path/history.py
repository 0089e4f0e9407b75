"""What an athlete did and how it went, session by session."""

from datetime import date
from pathlib import Path
from typing import Annotated

from pydantic import Field

from models.document import Document, VerdictWord
from models.errors import PathError
from models.limit import Strict
from models.prescription import Prescription
from models.written import parse_written, read_bytes


class Session(Strict):
    """One training session: what was prescribed, and the verdict of each of its sets."""

    date: date
    prescription: Prescription
    sets: Annotated[tuple[VerdictWord, ...], Field(strict=False, min_length=1, max_length=100)]
    pain: bool = False
    """Whether the athlete reported pain in it."""

    @property
    def share_met(self) -> float:
        """Percent of the sets that were prescribed, or of those done if there were more, that met their dose."""
        return 100 * self.sets.count("met") / max(len(self.sets), self.prescription.sets)


class Clearance(Strict):
    """A person who may judge it let the athlete go on after pain; it counts for pain of earlier days."""

    date: date
    by: Annotated[str, Field(min_length=1, max_length=100)]


class History(Strict):
    """Sessions and clearances in any order."""

    athlete: Annotated[str | None, Field(max_length=100)] = None
    sessions: Annotated[tuple[Session, ...], Field(strict=False)] = ()
    cleared: Annotated[tuple[Clearance, ...], Field(strict=False)] = ()


def session_of(document: Document, prescription: Prescription, day: date, *, pain: bool = False) -> Session:
    """A session from a clip that was checked; a set without a verdict is unsure.

    Raises:
        PathError: the document has no set.
    """
    if not document.sets:
        raise PathError("the clip shows no set, so it says nothing of the session; film a set")
    return Session(
        date=day, prescription=prescription, sets=tuple(s.verdict or "unsure" for s in document.sets), pain=pain
    )


def read_history(path: Path) -> History:
    """Read a history from a TOML file.

    Raises:
        PathError: it cannot be read, is not TOML, or something in it is wrong.
    """
    return parse_history(read_bytes(path, PathError), path.name)


def parse_history(data: bytes, name: str) -> History:
    """As `read_history`, from a file's bytes; `name` is what messages call it.

    Raises:
        PathError: it is not TOML, or something in it is wrong.
    """
    return parse_written(data, name, History, PathError, "a history")

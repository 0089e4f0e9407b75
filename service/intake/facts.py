"""What the process that looks into a clip is told, and what it answers."""

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict

Container = Literal["mp4", "mov", "webm", "mkv"]


class _Message(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Limits(_Message):
    """The largest clip that is taken."""

    seconds: float
    """As the phone shows it, slow motion and all."""
    pixels: int
    """Of one frame."""
    bytes: int


class Facts(_Message):
    """What is known of a clip once it has passed."""

    container: Container
    seconds: float
    """Of real time."""
    filmed: datetime | None


class Answer(_Message):
    """Facts, or why the clip is refused."""

    facts: Facts | None = None
    refused: str | None = None

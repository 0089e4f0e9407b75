"""What a worker asks of the child process that measures, and where in their folder each file lies."""

from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict


class Order(BaseModel):
    """One clip to be measured."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    prescription: str | None
    """The text of what was prescribed."""
    movement: str | None
    """Where nothing was; None: whatever it looks like."""
    hold: bool | None
    height_cm: float | None
    sensor: bool
    """Whether the phone's sensor track came along."""
    memory_mb: int


@dataclass(frozen=True)
class Folder:
    """The files that worker and child hand each other."""

    path: Path

    @property
    def order(self) -> Path:
        """What is asked."""
        return self.path / "order.json"

    @property
    def clip(self) -> Path:
        """The clip; its container is told from its content."""
        return self.path / "clip"

    @property
    def sensor(self) -> Path:
        """The phone's sensor track."""
        return self.path / "sensor.json"

    @property
    def document(self) -> Path:
        """The measurement document, judged."""
        return self.path / "document.json"

    @property
    def series(self) -> Path:
        """The motion series."""
        return self.path / "series.npz"

    @property
    def proxy(self) -> Path:
        """The copy that every browser plays."""
        return self.path / "proxy.mp4"

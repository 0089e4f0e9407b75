"""Plots as files that are either whole or not there."""

from pathlib import Path
from uuid import uuid4

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure


def save(figure: Figure, out: Path) -> None:
    """Write a figure as a PNG picture; a reader sees the old file or the new one, never a part.

    Raises:
        OSError: `out` cannot be written.
    """
    FigureCanvasAgg(figure)
    part = out.with_name(f".{out.name}.{uuid4().hex}.part")
    try:
        with part.open("wb") as file:
            figure.savefig(file, format="png")
        part.replace(out)
    finally:
        part.unlink(missing_ok=True)

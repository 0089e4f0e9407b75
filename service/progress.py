"""A progress bar on standard error for work that takes longer than a second."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn

Report = Callable[[str, float], None]
PATIENCE = 1.0  # seconds of silence before the bar appears


@contextmanager
def progress_bar() -> Iterator[Report]:
    """Yield a function `(stage, fraction 0..1)` that moves the bar.

    The bar is erased at the end. Where standard error is not a terminal nothing is drawn, so that a log or a calling
    program finds only errors there.
    """
    console = Console(stderr=True)
    columns = (TextColumn("{task.description}", markup=False), BarColumn(), TaskProgressColumn())
    bar = Progress(*columns, console=console, transient=True, disable=not console.is_terminal)
    task = bar.add_task("", total=1.0)
    began = monotonic()

    def report(stage: str, fraction: float) -> None:
        bar.update(task, description=stage, completed=fraction)
        if monotonic() - began > PATIENCE and not bar.live.is_started:
            bar.start()

    try:
        yield report
    finally:
        bar.stop()

"""Being told by signals to stop."""

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final

STOPPING: Final = (signal.SIGTERM, signal.SIGINT)


@contextmanager
def told_to_stop(handle: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Have signals that ask the process to stop handled; afterwards they go where they went before. In the main thread only."""
    before = {number: signal.signal(number, handle) for number in STOPPING}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)

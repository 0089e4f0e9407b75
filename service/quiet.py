"""Standard error without the landmark library's chatter."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO


@contextmanager
def quiet() -> Iterator[TextIO]:
    """Silence file descriptor 2, and yield a stream that still writes to the standard error it was.

    The library writes dozens of lines straight to the descriptor and has no switch against it. Python's own errors are
    raised and shown after the descriptor is restored, so none is lost.
    """
    sys.stderr.flush()
    with os.fdopen(os.dup(2), "w", encoding=sys.stderr.encoding) as stream:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)
        os.close(nowhere)
        try:
            yield stream
        finally:
            stream.flush()
            os.dup2(stream.fileno(), 2)

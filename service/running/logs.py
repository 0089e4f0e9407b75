"""Logs: one JSON object a line on standard error, with identifiers only; never a name, a file's name, a token or an address.

Our own code logs nothing else. What cannot be known beforehand, the text of an error, may quote what somebody wrote or sent:
of an error its type and where it arose are logged, and its text only where it comes from the machine.
"""

import logging
import sys
import traceback
from collections.abc import Iterator
from types import TracebackType
from typing import Any, Final

import structlog
from sqlalchemy.exc import OperationalError
from structlog.typing import EventDict, Processor

FOREIGN: Final = logging.WARNING
"""From where libraries are heard: below, some tell addresses that they call."""
OURS: Final = ("service", "uvicorn")
DEEPEST: Final = 20
"""Calls of an error that are logged, the innermost."""

Fault = tuple[type[BaseException], BaseException, TracebackType | None]


def log_as_json(level: str, **bound: str) -> None:
    """Let all of this process log so, from `level` on; `bound` stands in every line."""
    structlog.configure(
        processors=[*_SHARED, structlog.stdlib.ProcessorFormatter.wrap_for_formatter],
        logger_factory=structlog.stdlib.LoggerFactory(),
        wrapper_class=structlog.stdlib.BoundLogger,
        cache_logger_on_first_use=True,
    )
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(
        structlog.stdlib.ProcessorFormatter(
            foreign_pre_chain=_SHARED,
            processors=[
                structlog.stdlib.ProcessorFormatter.remove_processors_meta,
                _bind(bound),
                _tell_errors,
                structlog.processors.JSONRenderer(ensure_ascii=True),
            ],
        )
    )
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(FOREIGN)
    for name in OURS:
        logging.getLogger(name).setLevel(level.upper())
    logging.captureWarnings(capture=True)


_SHARED: Final[list[Processor]] = [
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_log_level,
    structlog.stdlib.add_logger_name,
    structlog.stdlib.PositionalArgumentsFormatter(),
    structlog.processors.TimeStamper(fmt="iso", utc=True),
]


def _bind(bound: dict[str, str]) -> Processor:
    """For every thread, unlike context variables."""

    def add(_logger: Any, _method: str, event: EventDict) -> EventDict:
        return {**bound, **event}

    return add


def _tell_errors(_logger: Any, _method: str, event: EventDict) -> EventDict:
    """Put an error's type and place where its text and traceback would stand."""
    event.pop("stack_info", None)
    event.pop("color_message", None)  # uvicorn's, for terminals
    fault = _fault(event.pop("exc_info", None))
    if fault is not None:
        event["errors"] = list(_told(fault))
    return event


def _fault(given: Any) -> BaseException | None:
    if isinstance(given, BaseException):
        return given
    if isinstance(given, tuple):
        return given[1]
    return sys.exc_info()[1] if given else None


def _told(fault: BaseException) -> Iterator[dict[str, Any]]:
    """The error and what caused it, the outermost first."""
    seen: BaseException | None = fault
    while seen is not None:
        calls = traceback.extract_tb(seen.__traceback__)[-DEEPEST:]
        told: dict[str, Any] = {
            "type": f"{type(seen).__module__}.{type(seen).__qualname__}",
            "calls": [f"{call.filename}:{call.lineno} {call.name}" for call in calls],
        }
        if isinstance(seen, OperationalError):  # the database's own words about itself
            told["text"] = str(seen.orig).split("\n", 1)[0]
        yield told
        seen = seen.__cause__ or (None if seen.__suppress_context__ else seen.__context__)

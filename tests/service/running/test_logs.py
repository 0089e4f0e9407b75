"""What is logged, and what never is."""

import json
import logging
import warnings
from collections.abc import Iterator
from typing import Any

import pytest
import structlog
from sqlalchemy import create_engine, text
from sqlalchemy.exc import OperationalError

from service.records.database import engine
from service.running.logs import log_as_json


@pytest.fixture(autouse=True)
def logging_as_before() -> Iterator[None]:
    root = logging.getLogger()
    before = root.handlers[:], root.level, structlog.get_config()
    levels = {name: logging.getLogger(name).level for name in ("service", "uvicorn")}
    yield
    logging.captureWarnings(capture=False)
    root.handlers[:], level, config = before
    root.setLevel(level)
    for name, each in levels.items():
        logging.getLogger(name).setLevel(each)
    structlog.configure(**config)


@pytest.fixture
def told(capfd: pytest.CaptureFixture[str]) -> Any:
    """The lines that were logged since."""

    def lines() -> list[dict[str, Any]]:
        return [json.loads(line) for line in capfd.readouterr().err.splitlines()]

    return lines


def test_a_line_is_an_object_with_what_was_bound(told: Any) -> None:
    log_as_json("info", worker="left-1")
    log = structlog.get_logger("service.jobs")
    with structlog.contextvars.bound_contextvars(clip_id="c1"):
        log.info("clip measured", seconds=1.5)
    log.debug("not at this level")
    (line,) = told()
    assert line.pop("timestamp").endswith("Z")
    assert line == {
        "event": "clip measured", "level": "info", "logger": "service.jobs", "worker": "left-1", "clip_id": "c1",
        "seconds": 1.5,
    }  # fmt: skip


def test_an_error_tells_its_type_and_place_and_not_its_text(told: Any) -> None:
    log_as_json("info")
    log = structlog.get_logger("service.api")
    try:
        try:
            int("Wibke Nordhoff")
        except ValueError as fault:
            raise RuntimeError("no number in Wibke.mp4") from fault
    except RuntimeError as fault:
        log.warning("unexpected fault", exc_info=fault)
        log.exception("and so")
        logging.getLogger("uvicorn.error").exception("so too")
    lines = told()
    assert "Wibke" not in json.dumps(lines)
    for line in lines:
        assert [error["type"] for error in line["errors"]] == ["builtins.RuntimeError", "builtins.ValueError"]
        assert line["errors"][0]["calls"][-1].endswith("test_an_error_tells_its_type_and_place_and_not_its_text")


def test_what_the_database_says_of_itself_is_told(told: Any) -> None:
    log_as_json("info")
    try:
        create_engine("sqlite:////nowhere/at/all.db").connect()
    except OperationalError:
        structlog.get_logger("service").exception("not reached")
    (line,) = told()
    assert "unable to open database file" in [error.get("text") for error in line["errors"]]


def test_errors_of_the_database_name_no_values() -> None:
    made = engine("sqlite://")
    with made.connect() as connection, pytest.raises(OperationalError) as raised:
        connection.execute(text("SELECT name FROM nowhere WHERE name = :name"), {"name": "Wibke"})
    made.dispose()
    assert "Wibke" not in str(raised.value)


def test_libraries_are_heard_from_warnings_on(told: Any) -> None:
    """Below, some tell the addresses that they call."""
    log_as_json("debug")
    logging.getLogger("httpx").info("GET https://example.org/hook?token=secret")
    logging.getLogger("dbos").warning("a queue is %s", "slow")
    with warnings.catch_warnings():
        warnings.simplefilter("always")
        warnings.warn("old way", DeprecationWarning, stacklevel=1)
    lines = told()
    assert [line["event"] for line in lines][:1] == ["a queue is slow"]
    assert "secret" not in json.dumps(lines)
    assert [line["logger"] for line in lines] == ["dbos", "py.warnings"]

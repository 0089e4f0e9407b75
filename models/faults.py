"""What is wrong with something that a coach wrote, in one line, and at which key."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from models.suggest import did_you_mean

WANTED = {
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "string_type": "text in quotes",
}
TABLES = {
    "band": "{ kg = 15 }",
    "load": "{ kg = 5 }",
    "partner": '{ at = "hips" }',
    "limits": "limits.lowering.low = 4",
}
"""How each table is written, by its key; all others are limits."""


class Contradiction(ValueError):
    """One key is at odds with another, or with the movement. `key` is its dotted name, `message` says it all."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__(message)
        self.key = key


@dataclass(frozen=True)
class Fault:
    """What is wrong, and the way to the key that it is wrong with, outermost name first."""

    key: tuple[int | str, ...]
    message: str


def describe(error: ValidationError, model: type[BaseModel]) -> Fault:
    """The first fault, an unknown key before all others: a misspelt key is often why another seems to be missing."""
    faults = error.errors()
    fault = next((fault for fault in faults if fault["type"] == "extra_forbidden"), faults[0])
    where = ".".join(str(part) for part in fault["loc"])
    if fault["type"] == "extra_forbidden":
        known = _known_keys(fault["loc"][:-1], model)
        hint = did_you_mean(str(fault["loc"][-1]), known) or f" (known: {', '.join(known)})"
        return Fault(fault["loc"], f"unknown key {_short(where)}{hint}")
    if fault["type"] == "missing":
        return Fault(fault["loc"], f"{where} is missing; write it down")
    cause = fault.get("ctx", {}).get("error")
    if isinstance(cause, Contradiction):
        return Fault((*fault["loc"], *cause.key.split(".")), str(cause))
    return Fault(fault["loc"], f"{where}: {_message(fault)}" if where else _message(fault))


def _message(fault: ErrorDetails) -> str:
    if fault["type"] == "value_error":
        return str(fault["ctx"]["error"])
    if fault["type"] == "model_type":
        example = TABLES.get(str(fault["loc"][-1]), "{ low = 80, high = 100 }")
        return f"should be a table, such as {example}, not {_short(fault['input'])}"
    if fault["type"] in WANTED:
        return f"should be {WANTED[fault['type']]}, not {_short(fault['input'])}"
    return f"{fault['msg'].removeprefix('Input ')}, not {_short(fault['input'])}"


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _known_keys(loc: tuple[int | str, ...], model: type[BaseModel]) -> list[str]:
    for part in loc:
        if field := model.model_fields.get(str(part)):  # an entry of a table or an array has a name of its own
            model = next(_models(field.annotation), model)
    return list(model.model_fields)


def _models(annotation: object) -> Iterator[type[BaseModel]]:
    """The model itself, or the one in `Model | None`."""
    for each in get_args(annotation) or (annotation,):
        if isinstance(each, type) and issubclass(each, BaseModel):
            yield each

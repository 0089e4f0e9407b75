"""What kinds of problems there are, under the addresses that answers point to."""

from typing import Annotated

from fastapi import Path
from pydantic import Field

from service.api.problems import KINDS, Problem
from service.api.route import router
from service.api.shapes.common import Given

kinds = router("service")


class Kind(Given):
    """A kind of problem."""

    kind: Annotated[str, Field(examples=["changed-since"])]
    status: Annotated[int, Field(description="The HTTP status it comes with.", examples=[412])]
    meaning: Annotated[str, Field(description="What it means, and what to do.", examples=[KINDS["changed-since"][1]])]


class Kinds(Given):
    """All kinds."""

    items: list[Kind]


@kinds.get("/problems")
def list_kinds() -> Kinds:
    """All kinds of problems that have an address; others are told by their status alone."""
    return Kinds(items=[_told(kind) for kind in KINDS])


@kinds.get("/problems/{kind}")
def get_kind(kind: Annotated[str, Path(examples=["cursor"])]) -> Kind:
    """What one means."""
    if kind not in KINDS:
        raise Problem(404, "GET /problems names all kinds that there are.")
    return _told(kind)


def _told(kind: str) -> Kind:
    status, meaning = KINDS[kind]
    return Kind(kind=kind, status=status, meaning=meaning)

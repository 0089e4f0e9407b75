"""Which efforts a program tool asks for, as it says it in the address."""

from typing import Annotated, Literal

from fastapi import Depends, Query
from pydantic import AwareDatetime

from models.document import VerdictWord
from service.access.decide import Resource, reach
from service.api.deps import Actor, require
from service.api.holding import held_back
from service.records.asking import Filter
from service.records.results import Kind
from service.records.review import RulingWord


def _filter(
    actor: Actor,
    athlete: Annotated[str | None, Query(max_length=40, description="Of this athlete.")] = None,
    movement: Annotated[str | None, Query(max_length=60, description="Of this movement.", examples=["push-up"])] = None,
    variant: Annotated[
        str | None, Query(max_length=200, description="Of this variant, as prescriptions name it.")
    ] = None,
    since: Annotated[AwareDatetime | None, Query(alias="from", description="Done at this moment or later.")] = None,
    until: Annotated[AwareDatetime | None, Query(alias="to", description="Done before this moment.")] = None,
    verdict: Annotated[
        VerdictWord | Literal["none"] | None, Query(description="With this verdict; `none`: without one.")
    ] = None,
    ruling: Annotated[
        RulingWord | Literal["none"] | None, Query(description="With this ruling; `none`: without one.")
    ] = None,
    kind: Annotated[Kind | None, Query(description="Reps or holds.")] = None,
) -> Filter:
    """What is asked for, within what the actor may see.

    Raises:
        Problem: the actor may see no results, or not those of this athlete.
    """
    if reach(actor, "read", "result") == "own":
        athlete = athlete or actor.person_id
    require(actor, "read", Resource("result", actor.gym_id, athlete, athlete))
    return Filter(
        athlete_id=athlete,
        movement=movement,
        variant=variant,
        since=since,
        until=until,
        verdict=verdict,
        ruling=ruling,
        kind=kind,
        held_back=held_back(actor),
    )


Asked = Annotated[Filter, Depends(_filter, scope="function")]

"""The catalogue of movements, and which of them a gym uses.

The catalogue is the machine's: what comes with Plumbrep, and the files of its own folder of movements.
"""

from typing import Annotated

from fastapi import Query

from models.movements import Movement, load_movement, movement_names, own_movements
from service.access.decide import Resource
from service.api.deps import Actor, Session, require
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.models import MovementListed, Movements
from service.catalogue import FROM
from service.records.using import in_use, put_out_of_use, take_into_use

movements = router("models")


@movements.get("/movements")
def list_movements(
    session: Session,
    actor: Actor,
    used: Annotated[
        bool | None, Query(alias="in_use", description="Only those that the gym uses, or does not.")
    ] = None,
) -> Movements:
    """All movements at a glance, by name."""
    require(actor, "read", Resource("model", actor.gym_id))
    own, taken = own_movements(), in_use(session, _gym(actor))
    names = [name for name in movement_names() if used is None or (name in taken) is used]
    return Movements(items=[_listed(load_movement(name), own=name in own, used=name in taken) for name in names])


@movements.get("/movements/{name}", response_model_exclude_none=True)
def get_movement(name: str, actor: Actor) -> Movement:
    """Everything about one: how it is measured, its standards, scalings and variants, what a view cannot show, cautions."""
    require(actor, "read", Resource("model", actor.gym_id))
    return _found(name)


@movements.put("/movements/{name}/use", status_code=204)
def use_movement(name: str, session: Session, actor: Actor) -> None:
    """Take a movement into use; whoever prescribes one does so too."""
    require(actor, "prescribe", Resource("model", actor.gym_id))
    take_into_use(session, _gym(actor), _found(name).name)


@movements.delete("/movements/{name}/use", status_code=204)
def stop_using_movement(name: str, session: Session, actor: Actor) -> None:
    """Put a movement out of use. What is prescribed stays prescribed."""
    require(actor, "prescribe", Resource("model", actor.gym_id))
    put_out_of_use(session, _gym(actor), name)


def _found(name: str) -> Movement:
    if name not in movement_names():
        raise Problem(404, "GET /movements names those that there are.")
    return load_movement(name)


def _gym(actor: Actor) -> str:
    assert actor.gym_id is not None  # whoever may read the catalogue belongs to a gym
    return actor.gym_id


def _listed(movement: Movement, *, own: bool, used: bool) -> MovementListed:
    return MovementListed(
        name=movement.name,
        title=movement.title,
        group=movement.group,
        usual=movement.usual,
        driven_by=movement.reps.driving if movement.reps else None,
        film_from=[FROM[view] for view in movement.views],
        variants=list(movement.variants),
        own=own,
        in_use=used,
    )

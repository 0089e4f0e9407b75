"""The catalogue of movements."""

from models.movements import Movement, load_movement, movement_names
from service.access.decide import Resource
from service.api.deps import Actor, require
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.models import MovementListed, Movements
from service.catalogue import FROM

movements = router("models")


@movements.get("/movements")
def list_movements(actor: Actor) -> Movements:
    """All movements at a glance."""
    require(actor, "read", Resource("model", actor.gym_id))
    return Movements(items=[_listed(load_movement(name)) for name in movement_names()])


@movements.get("/movements/{name}", response_model_exclude_none=True)
def get_movement(name: str, actor: Actor) -> Movement:
    """Everything about one: how it is measured, its standards, scalings and variants, what a view cannot show, cautions."""
    require(actor, "read", Resource("model", actor.gym_id))
    if name not in movement_names():
        raise Problem(404, "GET /movements names those that there are.")
    return load_movement(name)


def _listed(movement: Movement) -> MovementListed:
    return MovementListed(
        name=movement.name,
        title=movement.title,
        group=movement.group,
        usual=movement.usual,
        driven_by=movement.reps.driving if movement.reps else None,
        film_from=[FROM[view] for view in movement.views],
        variants=list(movement.variants),
    )

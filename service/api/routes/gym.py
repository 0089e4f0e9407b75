"""The gym itself: its name, its clock, how long it keeps clips."""

from service.access.audit import audit
from service.access.decide import Resource
from service.api.deps import Actor, Session, require
from service.api.etags import IfMatch, require_match
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.gym import GymChange, GymGiven
from service.records import Gym

gym = router("people")


@gym.get("/gym")
def get_gym(session: Session, actor: Actor) -> GymGiven:
    """The gym that one belongs to."""
    require(actor, "read", Resource("gym", actor.gym_id))
    return GymGiven.model_validate(session.get_one(Gym, actor.gym_id))


@gym.patch("/gym")
def change_gym(asked: GymChange, session: Session, actor: Actor, if_match: IfMatch = None) -> GymGiven:
    """Change the gym's name, its clock, or how long clips that come from now on are kept."""
    require(actor, "manage", Resource("gym", actor.gym_id))
    row = session.get_one(Gym, actor.gym_id)
    require_match(if_match, GymGiven.model_validate(row))
    changes = asked.model_dump(exclude_unset=True)
    if None in (changes.get("name", ""), changes.get("time_zone", "")):
        raise Problem("invalid", "body: a gym needs a name and a time zone")
    for name, value in changes.items():
        setattr(row, name, value)
    session.flush()
    told = sorted(changes.keys() & {"name", "keep_clips_days"})
    audit(session, actor, "changed", Resource("gym", row.id, id=row.id), {"changed": told})
    return GymGiven.model_validate(row)

"""What to prescribe next: the path from what is owned to what is out of reach."""

from models.errors import PathError
from models.path import Path, Rules, lay_path, owned
from models.path.rules import parse_rules
from models.prescription import Prescription
from service.access.decide import Resource
from service.api.deps import Actor, Session, fetch, require
from service.api.history import history_of, uncleared_pain
from service.api.route import router
from service.api.said import athlete_of, plan_of
from service.api.shapes.models import PathAsked
from service.records import Person

paths = router("models")


@paths.post("/path")
def tell_path(asked: PathAsked, session: Session, actor: Actor) -> Path:
    """The steps between, the smallest first, with the doses to start at. Pain that nobody cleared halts it."""
    require(actor, "read", Resource("model", actor.gym_id))
    rules = parse_rules(asked.rules.encode(), "the rules") if asked.rules else Rules()
    athlete = athlete_of(session, actor, asked.person, asked.body)
    halted = None
    here = plan_of(asked.owns, rules.start) if asked.owns else None
    if asked.person is not None:
        person = fetch(session, Person, asked.person, actor, "read", "person")
        require(actor, "read", Resource("result", person.gym_id, person.id, person.id))
        halted = uncleared_pain(session, person)
        here = here or _owned(session, person, rules)
    if here is None:
        raise PathError("say what is owned, with owns")
    goal, available = plan_of(asked.goal, rules.start), asked.available.as_available()
    return lay_path(here, goal, athlete, available=available, rules=rules, halted=halted)


def _owned(session: Session, person: Person, rules: Rules) -> Prescription:
    """The last variant that the records show as owned."""
    found = owned(history_of(session, person), rules)
    if not found:
        many = rules.move_on.sessions
        raise PathError(f"no variant was met in {many} sessions in a row, so nothing is owned; say what is, with owns")
    return found[-1]

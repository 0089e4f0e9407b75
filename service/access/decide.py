"""Who may do what: the one place for it.

Whatever no row of the table allows is forbidden. `own`: what is the athlete's, or the coach's, themselves; `gym`: everything
of the gym; `scope`: what the key's scopes say, in its gym. Nothing of a gym is ever open to another gym's actors, nor to the
operator, who has the service's own resource and nothing else.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from service.access.actors import Actor, Scope

Action = Literal["read", "write", "rule", "prescribe", "delete", "manage"]
ResourceKind = Literal[
    "person", "consent", "pain", "link", "invitation", "session", "prescription", "clip", "result", "ruling", "note", "model",
    "key", "webhook", "gym", "audit", "service",
]  # fmt: skip
Reach = Literal["own", "gym"]


@dataclass(frozen=True)
class Resource:
    """What is asked for.

    Attributes:
        kind: what it is. `result`: sets, efforts, checks, documents, tempo, sums, changes; `ruling`: rulings, corrections and
            the queue for review; `invitation`: a way for a coach or an owner to set a password; `model`: movements, demand, path; `gym`: its name, its retention; `service`: the machine.
        gym_id: the gym that it belongs to; None for the service alone.
        athlete_id: the person it belongs to; None: to nobody in particular.
        id: which one, for the record of who did what; does not matter to the decision.
    """

    kind: ResourceKind
    gym_id: str | None
    athlete_id: str | None = None
    id: str | None = None


class Rule(NamedTuple):
    """Who may do one thing to one kind of resource."""

    kind: ResourceKind
    action: Action
    athlete: Reach | None = None
    coach: Reach | None = None
    owner: Reach | None = None
    program: tuple[Scope, ...] = ()
    """Any of these scopes will do."""


RULES = (
    #    kind            action       athlete coach   owner   program
    Rule("person",       "read",      "own",  "gym",  "gym",  ("read:people",)),
    Rule("person",       "write",     None,   None,   "gym"),
    Rule("person",       "delete",    None,   None,   "gym"),
    Rule("person",       "manage",    None,   None,   "gym"),
    Rule("consent",      "read",      "own",  "gym",  "gym"),
    Rule("consent",      "write",     "own",  "gym",  "gym"),
    Rule("pain",         "read",      "own",  "gym",  "gym"),
    Rule("pain",         "write",     "own",  "gym",  "gym"),
    Rule("pain",         "rule",      None,   "gym",  "gym"),
    Rule("link",         "read",      None,   "gym",  "gym"),
    Rule("link",         "manage",    None,   "gym",  "gym"),
    Rule("invitation",   "manage",    None,   None,   "gym"),
    Rule("session",      "read",      "own",  "own",  "gym"),
    Rule("session",      "delete",    "own",  "own",  "gym"),
    Rule("prescription", "read",      "own",  "gym",  "gym",  ("write:prescriptions",)),
    Rule("prescription", "prescribe", None,   "gym",  "gym",  ("write:prescriptions",)),
    Rule("clip",         "read",      "own",  "gym",  "gym",  ("read:clips",)),
    Rule("clip",         "write",     "own",  "gym",  "gym",  ("write:clips",)),
    Rule("clip",         "delete",    "own",  "gym",  "gym"),
    Rule("result",       "read",      "own",  "gym",  "gym",  ("read:tempo",)),
    Rule("ruling",       "read",      "own",  "gym",  "gym",  ("read:tempo",)),
    Rule("ruling",       "rule",      None,   "gym",  "gym"),
    Rule("note",         "read",      "own",  "gym",  "gym"),
    Rule("note",         "write",     None,   "gym",  "gym"),
    Rule("model",        "read",      "gym",  "gym",  "gym",  ("read:tempo", "write:prescriptions")),
    Rule("model",        "prescribe", None,   "gym",  "gym",  ("write:prescriptions",)),
    Rule("key",          "read",      None,   None,   "gym"),
    Rule("key",          "manage",    None,   None,   "gym"),
    Rule("webhook",      "read",      None,   None,   "gym"),
    Rule("webhook",      "manage",    None,   None,   "gym"),
    Rule("gym",          "read",      "gym",  "gym",  "gym"),
    Rule("gym",          "manage",    None,   None,   "gym"),
    Rule("audit",        "read",      None,   None,   "gym"),
)  # fmt: skip
_RULES = {(rule.kind, rule.action): rule for rule in RULES}


def decide(actor: Actor, action: Action, resource: Resource) -> bool:
    """Whether the actor may do it."""
    if actor.kind == "operator" or resource.kind == "service":
        return actor.kind == "operator" and resource.kind == "service" and action in {"read", "manage"}
    if actor.gym_id is None or actor.gym_id != resource.gym_id:
        return False
    match reach(actor, action, resource.kind):
        case "gym":
            return True
        case "own":
            return actor.person_id is not None and actor.person_id == resource.athlete_id
        case None:
            return False


def reach(actor: Actor, action: Action, kind: ResourceKind) -> Reach | None:
    """How much of a kind of resource, in their own gym, the actor may do it to; None: nothing."""
    rule = _RULES.get((kind, action))
    if rule is None:
        return None
    match actor.kind:
        case "athlete":
            return rule.athlete
        case "coach":
            return rule.coach
        case "owner":
            return rule.owner
        case "program":
            return "gym" if actor.scopes.intersection(rule.program) else None
        case "operator":
            return None

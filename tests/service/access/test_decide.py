"""ASVS 5.0, 8.2.1 (what one may do), 8.2.2 (to whose), 8.4.1 (in which gym)."""

from itertools import product
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.access.actors import OPERATOR, SCOPES, Actor
from service.access.decide import RULES, Action, Resource, ResourceKind, decide, reach

GYM, OTHER_GYM, ME, SOMEBODY = "gym", "other gym", "me", "somebody"
ACTIONS, KINDS = get_args(Action), get_args(ResourceKind)

# What each may do, written down a second time and in another way than in the table.
ATHLETE_OWN = {
    "read person consent pain session prescription clip result ruling note",
    "write consent pain clip",
    "delete session clip",
}
ATHLETE_GYM = {"read model gym"}
COACH_OWN = {"read session", "delete session"}
COACH_GYM = {
    "read person consent pain link prescription clip result ruling note model gym",
    "write consent pain clip note",
    "rule pain ruling",
    "prescribe prescription model",
    "delete clip",
    "manage link",
}
OWNER_GYM = COACH_GYM | {
    "read session key webhook audit",
    "write person",
    "delete session person",
    "manage person invitation key webhook gym",
}
SCOPE_GYM = {
    "read:tempo": {"read result ruling model"},
    "read:clips": {"read clip"},
    "write:clips": {"write clip"},
    "read:people": {"read person"},
    "write:prescriptions": {"read prescription model", "prescribe prescription model"},
}


def pairs(lines: set[str]) -> set[tuple[str, str]]:
    return {(action, kind) for line in lines for action, *kinds in [line.split()] for kind in kinds}


ACTORS = [
    (Actor("athlete", GYM, person_id=ME), pairs(ATHLETE_OWN), pairs(ATHLETE_GYM)),
    (Actor("coach", GYM, person_id=ME), pairs(COACH_OWN), pairs(COACH_GYM)),
    (Actor("owner", GYM, person_id=ME), set(), pairs(OWNER_GYM)),
    (Actor("program", GYM, key_id="key"), set(), set()),
    *(
        (Actor("program", GYM, key_id="key", scopes=frozenset({scope})), set(), pairs(lines))
        for scope, lines in SCOPE_GYM.items()
    ),
]


@pytest.mark.parametrize(
    ("actor", "own", "gym"), ACTORS, ids=lambda v: f"{v.kind} {set(v.scopes) or ''}" if isinstance(v, Actor) else ""
)
def test_asvs_8_2_1_each_action_on_each_resource(
    actor: Actor, own: set[tuple[str, str]], gym: set[tuple[str, str]]
) -> None:
    for action, kind in product(ACTIONS, KINDS):
        allowed = (action, kind) in gym
        assert decide(actor, action, Resource(kind, GYM, None)) is allowed, (action, kind)
        assert decide(actor, action, Resource(kind, GYM, SOMEBODY)) is allowed, (action, kind)
        assert decide(actor, action, Resource(kind, GYM, ME)) is (allowed or (action, kind) in own), (action, kind)


@pytest.mark.parametrize("actor", [actor for actor, _, _ in ACTORS])
def test_asvs_8_4_1_nothing_of_another_gym(actor: Actor) -> None:
    for action, kind, athlete in product(ACTIONS, KINDS, (None, ME, SOMEBODY)):
        assert not decide(actor, action, Resource(kind, OTHER_GYM, athlete))
        assert not decide(actor, action, Resource(kind, None, athlete))


def test_the_operator_runs_the_service_and_sees_no_gym() -> None:
    for action, kind, gym in product(ACTIONS, KINDS, (GYM, None)):
        allowed = kind == "service" and action in {"read", "manage"}
        assert decide(OPERATOR, action, Resource(kind, gym)) is allowed


def test_an_actor_without_a_gym_or_a_person_gets_nothing() -> None:
    """None equals None, and must not open what belongs to nobody."""
    for action, kind in product(ACTIONS, KINDS):
        assert not decide(Actor("owner", None, person_id=ME), action, Resource(kind, None))
        nobody = Actor("athlete", GYM)
        assert not (decide(nobody, action, Resource(kind, GYM, None)) and reach(nobody, action, kind) == "own")


def test_scopes_add_up_and_are_all_in_use() -> None:
    assert {scope for rule in RULES for scope in rule.program} == SCOPES
    every = Actor("program", GYM, key_id="key", scopes=SCOPES)
    allowed = {(a, k) for a, k in product(ACTIONS, KINDS) if decide(every, a, Resource(k, GYM))}
    assert allowed == set().union(*(pairs(lines) for lines in SCOPE_GYM.values()))


def test_a_word_that_is_no_scope_opens_nothing() -> None:
    actor = Actor("program", GYM, key_id="key", scopes=frozenset({"read:*", "*", "owner", "gym"}))
    assert not any(decide(actor, a, Resource(k, GYM)) for a, k in product(ACTIONS, KINDS))


def test_the_table_says_each_thing_once() -> None:
    assert len({(rule.kind, rule.action) for rule in RULES}) == len(RULES)


@given(
    st.sampled_from([actor for actor, _, _ in ACTORS]),
    st.sampled_from(ACTIONS),
    st.sampled_from(KINDS),
    st.text(max_size=5),
    st.none() | st.text(max_size=5),
)
def test_asvs_8_2_2_own_means_own(
    actor: Actor, action: Action, kind: ResourceKind, gym: str, athlete: str | None
) -> None:
    """Whatever identifiers are tried, what one may do only to one's own is refused on anybody else's."""
    if decide(actor, action, Resource(kind, gym, athlete)):
        assert gym == actor.gym_id
        assert reach(actor, action, kind) == "gym" or athlete == actor.person_id

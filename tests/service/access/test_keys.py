import re
from datetime import timedelta

import pytest

from service.access.actors import SCOPES
from service.access.errors import KeyRequestError
from service.access.keys import actor_of_key, make_key, revoke_key, rotate_key
from service.access.tokens import digest
from service.records import Key, now
from service.records.database import Database
from tests.service.access.conftest import People


def test_a_key_lets_a_program_in_with_its_scopes(database: Database, people: People) -> None:
    with database.session() as session:
        key, text = make_key(session, people.gym, "planner", ["read:tempo", "read:people", "read:tempo"])
    assert re.fullmatch(r"pbk_[0-9a-f]{12}_[\w-]{43}", text)
    assert key.prefix in text
    assert (key.digest, key.scopes) == (digest(text), ["read:people", "read:tempo"])
    with database.session() as session:
        actor = actor_of_key(session, text)
        assert actor
        assert (actor.kind, actor.gym_id, actor.key_id, actor.person_id) == ("program", people.gym, key.id, None)
        assert actor.scopes == {"read:tempo", "read:people"}


def test_a_key_that_is_wrong_anywhere(database: Database, people: People) -> None:
    with database.session() as session:
        key, text = make_key(session, people.gym, "planner", SCOPES)
        _, other = make_key(session, people.other_gym, "planner", SCOPES)
        wrong = [
            "", "pbk_", text[:-1], text[:-1] + ("a" if text[-1] != "a" else "b"), text + "a", text.upper(), key.digest,
            f"pbk_{key.prefix}_", f"pbk_{key.prefix}_{other.split('_', 2)[2]}", text.removeprefix("pbk_"), f" {text}",
            f"pbk_{key.prefix}_\ud800", "pbk_%_x",
        ]  # fmt: skip
        assert [actor_of_key(session, one) for one in wrong] == [None] * len(wrong)
        assert actor_of_key(session, text)


def test_a_key_ends(database: Database, people: People) -> None:
    with database.session() as session:
        key, text = make_key(session, people.gym, "planner", SCOPES, now() + timedelta(days=1))
        assert actor_of_key(session, text)
        key.expires = now()
        assert actor_of_key(session, text) is None
        key.expires = None
        assert actor_of_key(session, text)
        revoke_key(session, key)
        assert actor_of_key(session, text) is None
        revoked = key.revoked
        revoke_key(session, key)
        assert key.revoked == revoked


def test_both_keys_count_while_they_are_changed(database: Database, people: People) -> None:
    with database.session() as session:
        old, old_text = make_key(session, people.gym, "planner", ["read:tempo"])
        new, new_text = rotate_key(session, old)
        assert (new.name, new.scopes, new.expires) == ("planner", ["read:tempo"], None)
        assert actor_of_key(session, old_text)
        assert actor_of_key(session, new_text)
        assert old.expires
        assert abs(old.expires - now() - timedelta(days=1)) < timedelta(seconds=10)
        old.expires = now()
        assert actor_of_key(session, old_text) is None
        assert actor_of_key(session, new_text)


def test_rotating_never_lengthens(database: Database, people: People) -> None:
    with database.session() as session:
        ends = now() + timedelta(hours=2)
        old, _ = make_key(session, people.gym, "planner", ["read:tempo"], ends)
        new, _ = rotate_key(session, old)
        assert old.expires == new.expires == ends
        revoke_key(session, old)
        with pytest.raises(KeyRequestError, match="no longer counts"):
            rotate_key(session, old)


@pytest.mark.parametrize("scopes", [[], ["read:everything"], ["read:tempo", "*"]])
def test_scopes_that_there_are_not(database: Database, people: People, scopes: list[str]) -> None:
    with database.session() as session, pytest.raises(KeyRequestError, match="needs scopes out of"):
        make_key(session, people.gym, "planner", scopes)


def test_an_end_in_the_past(database: Database, people: People) -> None:
    with database.session() as session, pytest.raises(KeyRequestError, match="in the future"):
        make_key(session, people.gym, "planner", SCOPES, now())


def test_the_last_use_is_written_at_most_once_a_minute(database: Database, people: People) -> None:
    with database.session() as session:
        key, text = make_key(session, people.gym, "planner", SCOPES)
        assert key.last_used is None
        actor_of_key(session, text)
        first = key.last_used
        assert first
        actor_of_key(session, text)
        assert key.last_used == first
        key.last_used = first - timedelta(seconds=61)
        actor_of_key(session, text)
        assert key.last_used > first
    with database.session() as session:
        assert session.get_one(Key, key.id).last_used == key.last_used

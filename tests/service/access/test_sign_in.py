"""ASVS 5.0, 6.3.1 (brute force), 6.3.8 (nobody is told who exists), 7.2.4 (a new token), 7.4.1 and 7.4.3 (ends)."""

from datetime import timedelta

import pytest
from sqlalchemy import select, update
from sqlalchemy.exc import IntegrityError

from service.access import entrance
from service.access.entrance import actor_of_session, change_password, set_password, sign_in, sign_out
from service.access.errors import NotLetIn, PasswordError, TooManyTries
from service.records import Audit, Person, Session, Tally, now
from service.records.database import Database
from service.settings import Settings
from tests.service.access.conftest import PASSWORD, People

HERE, THERE = "203.0.113.7", "198.51.100.9"
WRONG = "another password"
NEW = "velvet ladder comet"


def let_in(database: Database, settings: Settings, token: str) -> bool:
    with database.session() as session:
        return actor_of_session(session, settings, token) is not None


def refuse(database: Database, settings: Settings, login: str = "bo", address: str = HERE) -> str:
    with pytest.raises(NotLetIn) as caught:
        sign_in(database, settings, login, WRONG, address)
    return str(caught.value)


def test_a_coach_comes_in(database: Database, settings: Settings, people: People) -> None:
    entered = sign_in(database, settings, " Bo ", PASSWORD, HERE)
    assert (entered.actor.kind, entered.actor.gym_id, entered.actor.person_id) == ("coach", people.gym, people.coach)
    with database.session() as session:
        assert actor_of_session(session, settings, entered.token) == entered.actor


def test_asvs_6_3_8_one_answer_whatever_is_wrong(database: Database, settings: Settings, people: People) -> None:
    """A wrong password, no such login, a login that has no password yet, somebody who has left."""
    with database.session() as session:
        session.get_one(Person, people.owner).ended = now()
    answers = {refuse(database, settings, login) for login in ("bo", "nobody here", "uma", "", "\u0000")}
    with pytest.raises(NotLetIn) as caught:
        sign_in(database, settings, "ilse", PASSWORD, HERE)
    assert answers | {str(caught.value)} == {"the login or the password is wrong"}


def test_asvs_6_3_1_five_wrong_passwords_from_one_address(
    database: Database, settings: Settings, people: People
) -> None:
    for login in ("bo", "nobody here"):
        for _ in range(5):
            assert "wrong" in refuse(database, settings, login)
        assert "15 min" in refuse(database, settings, login)
    with pytest.raises(TooManyTries) as caught:
        sign_in(database, settings, "BO", PASSWORD, HERE)
    assert 0 < caught.value.wait <= 900
    assert sign_in(database, settings, "bo", PASSWORD, THERE).actor.person_id == people.coach
    assert sign_in(database, settings, "ilse", PASSWORD, HERE).actor.person_id == people.owner


@pytest.mark.usefixtures("people")
def test_asvs_6_3_1_tries_are_counted_though_the_request_fails_and_across_restarts(
    database: Database, settings: Settings
) -> None:
    for _ in range(5):
        refuse(database, settings)
    again = Database(database.engine.url.render_as_string(hide_password=False))
    assert "too many" in refuse(again, settings)
    again.engine.dispose()
    with database.session() as session:
        session.execute(update(Tally).values(since=now() - timedelta(minutes=15)))
    sign_in(database, settings, "bo", PASSWORD, HERE)


@pytest.mark.usefixtures("people")
def test_a_right_password_clears_what_was_mistyped(database: Database, settings: Settings) -> None:
    for _ in range(3):
        for _ in range(4):
            refuse(database, settings)
        sign_in(database, settings, "bo", PASSWORD, HERE)


@pytest.mark.usefixtures("people")
def test_asvs_6_3_1_many_logins_from_one_address(database: Database, settings: Settings) -> None:
    """Stuffing: an attacker's own account does not clear the address."""
    for n in range(49):
        assert "wrong" in refuse(database, settings, f"login {n}")
    sign_in(database, settings, "bo", PASSWORD, HERE)
    assert "wrong" in refuse(database, settings, "login 50")
    assert "too many" in refuse(database, settings, "login 51")
    assert "wrong" in refuse(database, settings, "login 51", THERE)


@pytest.mark.usefixtures("people")
def test_asvs_6_3_1_many_addresses_for_one_login(database: Database, settings: Settings) -> None:
    open_session = sign_in(database, settings, "bo", PASSWORD, HERE)
    for n in range(100):
        assert "wrong" in refuse(database, settings, "bo", f"198.51.100.{n}")
    assert "too many" in refuse(database, settings, "bo", "198.51.100.200")
    assert let_in(database, settings, open_session.token), "an attacker must not lock out who is in"


def test_asvs_7_2_4_a_new_token_each_time_and_the_old_one_ends(
    database: Database, settings: Settings, people: People
) -> None:
    first = sign_in(database, settings, "bo", PASSWORD, HERE)
    second = sign_in(database, settings, "bo", PASSWORD, HERE, replacing=first.token)
    assert first.token != second.token
    assert not let_in(database, settings, first.token)
    assert let_in(database, settings, second.token)
    third = sign_in(database, settings, "bo", PASSWORD, HERE)
    assert let_in(database, settings, second.token)
    assert third.actor.person_id == people.coach


def test_asvs_7_2_4_a_token_that_was_planted_is_never_taken_over(
    database: Database, settings: Settings, people: People
) -> None:
    planted = "A" * 43
    entered = sign_in(database, settings, "bo", PASSWORD, HERE, replacing=planted)
    assert entered.token != planted
    assert not let_in(database, settings, planted)
    assert entered.actor.person_id == people.coach


@pytest.mark.usefixtures("people")
def test_asvs_7_4_1_signing_out_ends_the_session(database: Database, settings: Settings) -> None:
    entered = sign_in(database, settings, "bo", PASSWORD, HERE)
    other = sign_in(database, settings, "bo", PASSWORD, HERE)
    with database.session() as session:
        sign_out(session, entered.actor)
    assert not let_in(database, settings, entered.token)
    assert let_in(database, settings, other.token)


@pytest.mark.usefixtures("people")
def test_asvs_7_4_3_a_new_password_ends_every_session(database: Database, settings: Settings) -> None:
    here, there = (sign_in(database, settings, "bo", PASSWORD, where) for where in (HERE, THERE))
    changed = change_password(database, settings, here.actor, PASSWORD, NEW)
    assert [let_in(database, settings, e.token) for e in (here, there, changed)] == [False, False, True]
    refuse(database, settings)
    with pytest.raises(NotLetIn):
        sign_in(database, settings, "bo", PASSWORD, HERE)
    sign_in(database, settings, "bo", NEW, HERE)


def test_asvs_6_2_3_changing_needs_the_current_password(database: Database, settings: Settings, people: People) -> None:
    entered = sign_in(database, settings, "bo", PASSWORD, HERE)
    with pytest.raises(NotLetIn, match="current password is wrong"):
        change_password(database, settings, entered.actor, WRONG, NEW)
    with pytest.raises(NotLetIn, match="current password is wrong"):
        change_password(database, settings, people.actor("athlete"), "", NEW)
    with pytest.raises(PasswordError, match="made of"):
        change_password(database, settings, entered.actor, PASSWORD, "tall oak hall 26")
    assert let_in(database, settings, entered.token)
    sign_in(database, settings, "bo", PASSWORD, HERE)


def test_asvs_6_3_1_guessing_the_current_password(database: Database, settings: Settings, people: People) -> None:
    for _ in range(5):
        with pytest.raises(NotLetIn, match="current"):
            change_password(database, settings, people.actor("coach"), WRONG, NEW)
    with pytest.raises(TooManyTries):
        change_password(database, settings, people.actor("coach"), PASSWORD, NEW)


def test_a_password_that_changed_while_the_old_one_was_checked(
    database: Database, settings: Settings, people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    def slow(_password: str, _kept: str | None) -> bool:
        with database.session() as session:
            session.get_one(Person, people.coach).password_hash = None
        return True

    monkeypatch.setattr(entrance, "is_right", slow)
    refuse(database, settings)


def test_setting_a_password_is_checked(database: Database, people: People) -> None:
    with database.session() as session:
        with pytest.raises(PasswordError, match="comes by a link"):
            set_password(session, session.get_one(Person, people.athlete), NEW)
        with pytest.raises(PasswordError, match="12 characters"):
            set_password(session, session.get_one(Person, people.coach), "short")


def test_what_is_recorded_names_nobody(database: Database, settings: Settings, people: People) -> None:
    entered = sign_in(database, settings, "bo", PASSWORD, HERE)
    refuse(database, settings)
    refuse(database, settings, "nobody here")
    with database.session() as session:
        sign_out(session, entered.actor)
        session.flush()
        rows = session.scalars(select(Audit).order_by(Audit.made)).all()
        assert [(row.action, row.actor, row.gym_id, row.actor_id) for row in rows] == [
            ("signed in", "coach", people.gym, people.coach),
            ("wrong password", "nobody", people.gym, None),
            ("wrong password", "nobody", None, None),
            ("signed out", "coach", people.gym, people.coach),
        ]
        kept = str([{k: v for k, v in vars(row).items() if k[0] != "_"} for row in rows])
        assert not any(
            secret in kept for secret in ("Bo Lund", "'bo'", "nobody here", entered.token, HERE, PASSWORD, WRONG)
        )
        assert entered.token not in str([row.digest for row in session.scalars(select(Session))])


def test_one_login_among_all_gyms(database: Database, people: People) -> None:
    with database.session() as session:
        session.add(Person(gym_id=people.other_gym, role="coach", name="Bo Other", login="bo"))
        with pytest.raises(IntegrityError):
            session.flush()
        session.rollback()

from contextlib import suppress
from datetime import timedelta

import pytest
from sqlalchemy import select

from service.access import links
from service.access.entrance import accept_invitation, actor_of_session, open_link, sign_in
from service.access.errors import NotLetIn, PasswordError, QuotaSpent
from service.access.invitations import invite
from service.access.sessions import Entered
from service.access.tokens import digest
from service.records import Link, Person, Tally, now
from service.records.database import Database
from service.settings import Settings
from tests.service.access.conftest import PASSWORD, People

NEW = "velvet ladder comet"


def made(
    database: Database, settings: Settings, people: People, person: str = "athlete", **given: int
) -> tuple[Link, str]:
    with database.session() as session:
        person_row = session.get_one(Person, getattr(people, person))
        return links.make_link(session, settings, person_row, people.actor("coach"), **given)


def enter(database: Database, settings: Settings, token: str) -> Entered:
    with database.session() as session:
        return open_link(session, settings, token)


def let_in(database: Database, settings: Settings, entered: Entered) -> bool:
    with database.session() as session:
        return actor_of_session(session, settings, entered.token) is not None


def test_a_link_is_swapped_for_a_session(database: Database, settings: Settings, people: People) -> None:
    link, token = made(database, settings, people)
    entered = enter(database, settings, token)
    assert (entered.actor.kind, entered.actor.person_id) == ("athlete", people.athlete)
    assert entered.token != token
    assert (link.digest, len(token)) == (digest(token), 43)
    assert link.created_by == people.coach
    with database.session() as session:
        assert actor_of_session(session, settings, token) is None, "the link's token is no session's"
    assert enter(database, settings, token).token != entered.token, "a second phone"


def test_a_link_ends(database: Database, settings: Settings, people: People) -> None:
    link, token = made(database, settings, people, days=2)
    assert abs(link.expires - now() - timedelta(days=2)) < timedelta(seconds=10)
    entered = enter(database, settings, token)
    assert entered.expires == link.expires
    with database.session() as session:
        session.get_one(Link, link.id).expires = now()
    with pytest.raises(NotLetIn):
        enter(database, settings, token)


def test_revoking_a_link_lets_out_who_came_by_it(database: Database, settings: Settings, people: People) -> None:
    link, token = made(database, settings, people)
    _, other = made(database, settings, people)
    entered, by_other = enter(database, settings, token), enter(database, settings, other)
    with database.session() as session:
        links.revoke_link(session, session.get_one(Link, link.id))
    assert not let_in(database, settings, entered)
    assert let_in(database, settings, by_other)
    with pytest.raises(NotLetIn):
        enter(database, settings, token)
    with database.session() as session:
        links.revoke_links(session, people.athlete)
    assert not let_in(database, settings, by_other)


@pytest.mark.parametrize("token", ["", "x" * 43, "\ud800", "%00"])
def test_what_is_no_link(database: Database, settings: Settings, people: People, token: str) -> None:
    made(database, settings, people)
    with pytest.raises(NotLetIn, match="does not count"):
        enter(database, settings, token)


def test_links_of_who_has_left(database: Database, settings: Settings, people: People) -> None:
    _, token = made(database, settings, people)
    with database.session() as session:
        session.get_one(Person, people.athlete).ended = now()
    with pytest.raises(NotLetIn):
        enter(database, settings, token)


def test_a_link_never_lets_a_coach_in(database: Database, settings: Settings, people: People) -> None:
    """A coach may make links; one for the owner would make every coach an owner."""
    with pytest.raises(ValueError, match="for athletes"):
        made(database, settings, people, "owner")
    _, token = made(database, settings, people)
    with database.session() as session:
        session.get_one(Person, people.athlete).role = "coach"
    with pytest.raises(NotLetIn):
        enter(database, settings, token)


def test_asvs_5_2_4_clips_a_day(database: Database, settings: Settings, people: People) -> None:
    _, token = made(database, settings, people, clips_a_day=3)
    first, second = enter(database, settings, token), enter(database, settings, token)
    with database.session() as session:
        for left, who in ((3, first), (2, second), (1, first)):
            assert links.clips_left(session, who.actor) == left
            links.spend_clip(session, who.actor)
        assert links.clips_left(session, second.actor) == 0
        with pytest.raises(QuotaSpent, match="3 clips a day are taken; send this one in 24 h"):
            links.spend_clip(session, second.actor)


def test_asvs_5_2_4_another_link_is_no_second_quota(database: Database, settings: Settings, people: People) -> None:
    entered = [enter(database, settings, made(database, settings, people, clips_a_day=2)[1]) for _ in range(2)]
    with database.session() as session:
        for who in entered:
            links.spend_clip(session, who.actor)
        with pytest.raises(QuotaSpent):
            links.spend_clip(session, entered[0].actor)


def test_a_clip_that_did_not_arrive_is_not_counted(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, made(database, settings, people, clips_a_day=1)[1])
    for _ in range(3):
        with suppress(OSError), database.session() as session:
            links.spend_clip(session, entered.actor)
            raise OSError("no space")
    with database.session() as session:
        links.spend_clip(session, entered.actor)
        session.execute(Tally.__table__.update().values(since=now() - timedelta(days=1)))  # type: ignore[attr-defined]
        links.spend_clip(session, entered.actor)


def test_a_coach_has_no_quota(database: Database, people: People) -> None:
    with database.session() as session:
        assert links.clips_left(session, people.actor("coach")) is None
        links.spend_clip(session, people.actor("coach"))
        assert not session.scalars(select(Tally)).all()


def invitation(database: Database, people: People, person: str = "other_owner") -> tuple[Link, str]:
    with database.session() as session:
        return invite(session, session.get_one(Person, getattr(people, person)), people.actor("owner"))


def test_asvs_6_4_1_an_invitation_sets_a_password_once(database: Database, settings: Settings, people: People) -> None:
    link, token = invitation(database, people)
    assert link.expires - now() <= timedelta(days=1)
    with pytest.raises(NotLetIn):
        enter(database, settings, token)
    with pytest.raises(PasswordError):
        accept_invitation(database, settings, token, "low bar low bar")
    entered = accept_invitation(database, settings, token, NEW)
    assert entered.actor.person_id == people.other_owner
    assert let_in(database, settings, entered)
    with pytest.raises(NotLetIn):
        accept_invitation(database, settings, token, "another kettle orbit fern")
    sign_in(database, settings, "uma", NEW, "203.0.113.7")


def test_asvs_6_4_3_who_forgot_it_is_invited_again(database: Database, settings: Settings, people: People) -> None:
    before = sign_in(database, settings, "bo", PASSWORD, "203.0.113.7")
    _, first = invitation(database, people, "coach")
    _, second = invitation(database, people, "coach")
    with pytest.raises(NotLetIn):
        accept_invitation(database, settings, first, NEW)
    assert let_in(database, settings, before), "an invitation alone changes nothing"
    accept_invitation(database, settings, second, NEW)
    assert not let_in(database, settings, before)


def test_an_athletes_link_sets_no_password(database: Database, settings: Settings, people: People) -> None:
    with pytest.raises(NotLetIn):
        accept_invitation(database, settings, made(database, settings, people)[1], NEW)
    with pytest.raises(ValueError, match="who have a login"):
        invitation(database, people, "athlete")

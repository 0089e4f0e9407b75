"""ASVS 5.0, 6.3.3 (a second factor), 6.4.3 (not gone round), 6.5.1 (once), 7.4.3 (others end), 7.5.1 (password again)."""

from datetime import UTC, datetime

import pyotp
import pytest

from service.access import factors
from service.access.enrolment import begin_factor, confirm_factor, end_factor, forget_factor
from service.access.entrance import accept_invitation, actor_of_session, sign_in
from service.access.errors import CodeNeeded, FactorError, NotLetIn, TooManyTries
from service.access.factors import STEP
from service.access.invitations import invite
from service.access.sessions import Entered
from service.records import Factor, Person
from service.records.database import Database
from service.settings import Settings
from tests.service.access.conftest import PASSWORD, People

HERE = "203.0.113.7"
PRINTED = [
    (59, "94287082"), (1111111109, "07081804"), (1111111111, "14050471"), (1234567890, "89005924"),
    (2000000000, "69279037"), (20000000000, "65353130"),
]  # fmt: skip
"""Seconds since 1970 and codes of eight digits: RFC 6238, Appendix B, SHA1. The last six are the code of six."""
OF_THE_RFC = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ"
"""The secret that it uses, the ASCII text 12345678901234567890, in base32."""
SECRET = pyotp.random_base32()


class Clock:
    """What time it is."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.seconds = 1_800_000_000.0
        monkeypatch.setattr(factors, "now", lambda: datetime.fromtimestamp(self.seconds, UTC))


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    return Clock(monkeypatch)


@pytest.fixture
def bo(database: Database, settings: Settings, clock: Clock, people: People) -> str:  # noqa: ARG001 -- is one of them
    """The secret of a coach who has a second factor."""
    entered = sign_in(database, settings, "bo", PASSWORD, HERE)
    secret = begin_factor(database, entered.actor, PASSWORD).secret
    confirm_factor(database, settings, entered.actor, code(secret, clock))
    clock.seconds += 2 * STEP
    return secret


def code(secret: str, clock: Clock, later: float = 0) -> str:
    return pyotp.TOTP(secret).at(datetime.fromtimestamp(clock.seconds + later, UTC))


def come_in(database: Database, settings: Settings, given: str | None) -> Entered:
    return sign_in(database, settings, "bo", PASSWORD, HERE, code=given)


@pytest.mark.parametrize(("seconds", "printed"), PRINTED)
def test_codes_are_those_of_the_rfc(
    database: Database, people: People, clock: Clock, seconds: int, printed: str
) -> None:
    clock.seconds = seconds
    with database.session() as session:
        factor = Factor(person_id=people.coach, gym_id=people.gym, secret=OF_THE_RFC)
        session.add(factor)
        session.flush()
        assert not factors.accept(session, factor, f"{(int(printed[2:]) + 1) % 10**6:06}")
        assert factors.accept(session, factor, printed[2:])


def test_asvs_6_3_3_a_code_is_asked_for_beside_the_password(
    database: Database, settings: Settings, bo: str, clock: Clock
) -> None:
    for nothing in (None, ""):
        with pytest.raises(CodeNeeded):
            come_in(database, settings, nothing)
    with pytest.raises(NotLetIn, match="the code is wrong"):
        come_in(database, settings, code(SECRET, clock))
    with pytest.raises(NotLetIn, match="login or the password") as caught:
        sign_in(database, settings, "bo", "not the password", HERE, code=code(bo, clock))
    assert not isinstance(caught.value, CodeNeeded), "nobody learns who has a factor without the password"
    spaced = f"{code(bo, clock)[:3]} {code(bo, clock)[3:]}"
    assert come_in(database, settings, spaced).actor.kind == "coach"


def test_asvs_6_5_1_a_code_counts_once_and_so_do_those_before_it(
    database: Database, settings: Settings, bo: str, clock: Clock
) -> None:
    come_in(database, settings, code(bo, clock))
    for used in (code(bo, clock), code(bo, clock, -STEP)):
        with pytest.raises(NotLetIn, match="used already"):
            come_in(database, settings, used)
    come_in(database, settings, code(bo, clock, STEP))


@pytest.mark.parametrize(("steps", "counts"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)])
def test_a_clock_may_be_one_step_off(
    database: Database, settings: Settings, bo: str, clock: Clock, steps: int, counts: bool
) -> None:
    given = code(bo, clock, steps * STEP)
    if counts:
        come_in(database, settings, given)
    else:
        with pytest.raises(NotLetIn, match="wrong"):
            come_in(database, settings, given)


def test_asvs_6_3_1_codes_cannot_be_guessed(database: Database, settings: Settings, bo: str, clock: Clock) -> None:
    for _ in range(5):
        with pytest.raises(NotLetIn, match="the code is wrong"):
            come_in(database, settings, "000000" if code(bo, clock) != "000000" else "000001")
    with pytest.raises(TooManyTries):
        come_in(database, settings, code(bo, clock))


def test_a_forgotten_code_is_no_wrong_try(database: Database, settings: Settings, bo: str, clock: Clock) -> None:
    for _ in range(8):
        with pytest.raises(CodeNeeded):
            come_in(database, settings, None)
    come_in(database, settings, code(bo, clock))


def test_asvs_7_5_1_and_7_4_3_it_is_set_up_with_the_password_and_ends_other_sessions(
    database: Database, settings: Settings, people: People, clock: Clock
) -> None:
    first, second = (sign_in(database, settings, "bo", PASSWORD, HERE) for _ in range(2))
    with pytest.raises(NotLetIn, match="password is wrong"):
        begin_factor(database, first.actor, "not the password")
    made = begin_factor(database, first.actor, PASSWORD)
    assert made.address == f"otpauth://totp/Plumbrep:bo?secret={made.secret}&issuer=Plumbrep"
    come_in(database, settings, None)
    with pytest.raises(FactorError, match="this code is wrong"):
        confirm_factor(database, settings, first.actor, code(SECRET, clock))
    renewed = confirm_factor(database, settings, first.actor, code(made.secret, clock))
    with database.session() as session:
        alive = [actor_of_session(session, settings, each.token) is not None for each in (first, second, renewed)]
    assert alive == [False, False, True]
    with pytest.raises(FactorError, match="there is a second factor already"):
        begin_factor(database, renewed.actor, PASSWORD)
    assert people.coach == renewed.actor.person_id


def test_asvs_6_4_3_an_invitation_does_not_go_round_it(
    database: Database, settings: Settings, people: People, bo: str, clock: Clock
) -> None:
    with database.session() as session:
        _, token = invite(session, session.get_one(Person, people.coach), people.actor("owner"))
    with pytest.raises(CodeNeeded):
        accept_invitation(database, settings, token, "velvet ladder comet")
    with pytest.raises(NotLetIn, match="the code is wrong"):
        accept_invitation(database, settings, token, "velvet ladder comet", code(SECRET, clock))
    assert accept_invitation(database, settings, token, "velvet ladder comet", code(bo, clock)).actor.kind == "coach"


def test_a_lost_phone(database: Database, settings: Settings, people: People, bo: str, clock: Clock) -> None:
    open_still = come_in(database, settings, code(bo, clock))
    with database.session() as session:
        forget_factor(session, people.actor("owner"), session.get_one(Person, people.coach))
        assert actor_of_session(session, settings, open_still.token) is None
    come_in(database, settings, None)


def test_asvs_7_5_1_doing_without_it_asks_for_password_and_code(
    database: Database, settings: Settings, bo: str, clock: Clock
) -> None:
    other, here = (come_in(database, settings, code(bo, clock, step)) for step in (0, STEP))
    clock.seconds += 2 * STEP
    with pytest.raises(NotLetIn, match="password is wrong"):
        end_factor(database, settings, here.actor, "not the password", code(bo, clock))
    with pytest.raises(NotLetIn, match="code is wrong"):
        end_factor(database, settings, here.actor, PASSWORD, code(SECRET, clock))
    strict = Settings(_env_file=None, second_factor=True)
    with pytest.raises(FactorError, match="needed here"):
        end_factor(database, strict, here.actor, PASSWORD, code(bo, clock))
    renewed = end_factor(database, settings, here.actor, PASSWORD, code(bo, clock))
    with database.session() as session:
        alive = [actor_of_session(session, settings, each.token) is not None for each in (other, here, renewed)]
    assert alive == [False, False, True]
    come_in(database, settings, None)
    with pytest.raises(FactorError, match="there is no second factor"):
        end_factor(database, settings, renewed.actor, PASSWORD, code(bo, clock))


def test_where_it_is_asked_of_everybody_nobody_signs_in_without(
    database: Database, people: People, clock: Clock
) -> None:
    strict = Settings(_env_file=None, second_factor=True)
    with pytest.raises(NotLetIn, match="ask for an invitation"):
        come_in(database, strict, None)
    with database.session() as session:
        _, token = invite(session, session.get_one(Person, people.coach), people.actor("owner"))
    entered = accept_invitation(database, strict, token, PASSWORD)
    secret = begin_factor(database, entered.actor, PASSWORD).secret
    confirm_factor(database, strict, entered.actor, code(secret, clock))
    assert come_in(database, strict, code(secret, clock, STEP)).actor.kind == "coach"

"""The second factor of coaches and owners: a code of six digits that an app on their phone makes anew every 30 seconds.

Source: RFC 6238 (TOTP) with the parameters that all apps take: HMAC-SHA1, six digits, 30 seconds. A code counts in its own time
step and the ones beside it (5.2: clocks differ, and typing takes time), and only once, with all before it (ASVS 5.0, 6.5.1).
The secret has 160 random bits (RFC 4226, 4).
"""

import hmac
from dataclasses import dataclass, field

import pyotp
from sqlalchemy import or_, update
from sqlalchemy.orm import Session

from service.access.errors import FactorError
from service.records.base import now
from service.records.entrance import Factor
from service.records.gyms import Person

STEP = 30
"""Seconds that a code is shown."""
BESIDE = 1
"""Steps before and after the present one whose codes are taken."""
ISSUER = "Plumbrep"


@dataclass(frozen=True)
class NewFactor:
    """What an app takes, shown this once: typed in, or as an address that it opens."""

    secret: str = field(repr=False)
    address: str = field(repr=False)


def begin(session: Session, person: Person) -> NewFactor:
    """A new factor, which is asked for once a first code has confirmed it; one that was never confirmed is gone.

    Raises:
        FactorError: the person has one already, or comes by a link.
    """
    if person.role == "athlete" or person.login is None:
        raise FactorError("an athlete comes by a link and needs no second factor")
    if confirmed(session, person.id) is not None:
        raise FactorError("there is a second factor already; have an owner, or whoever runs the service, take it away")
    forget(session, person.id)
    secret = pyotp.random_base32()
    session.add(Factor(person_id=person.id, gym_id=person.gym_id, secret=secret))
    session.flush()
    return NewFactor(secret, pyotp.TOTP(secret, name=person.login, issuer=ISSUER).provisioning_uri())


def confirm(session: Session, person_id: str, code: str) -> None:
    """Ask for the factor from now on, if its first code is right.

    Raises:
        FactorError: it is not, or no factor was begun.
    """
    found = session.get(Factor, person_id)
    if found is None or found.confirmed is not None:
        raise FactorError("no second factor waits for its first code; begin one")
    if not accept(session, found, code):
        raise FactorError("this code is wrong: check the clock of your phone, and type the one that is shown now")
    found.confirmed = now()
    session.flush()


def confirmed(session: Session, person_id: str) -> Factor | None:
    """The factor that a person has to come with."""
    found = session.get(Factor, person_id)
    return found if found is not None and found.confirmed is not None else None


def forget(session: Session, person_id: str) -> bool:
    """Take a factor away, because the phone is lost; whether there was one."""
    found = session.get(Factor, person_id)
    if found is not None:
        session.delete(found)
        session.flush()
    return found is not None


def accept(session: Session, factor: Factor, code: str) -> bool:
    """Whether a code is right and new. It is used up then, in one statement: of two at the same moment one comes in."""
    step = _step_of(factor.secret, code)
    if step is None:
        return False
    newer = or_(Factor.used.is_(None), Factor.used < step)
    taken = update(Factor).where(Factor.person_id == factor.person_id, newer).values(used=step).returning(Factor.used)
    return session.execute(taken).first() is not None


def _step_of(secret: str, code: str) -> int | None:
    """The newest time step whose code this is; each is compared in constant time."""
    given = "".join(code.split()).encode()
    present = int(now().timestamp()) // STEP
    codes = pyotp.HOTP(secret)
    steps = range(present + BESIDE, present - BESIDE - 1, -1)
    right = [step for step in steps if hmac.compare_digest(codes.at(step).encode(), given)]
    return right[0] if right else None

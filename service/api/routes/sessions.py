"""Signing in and out. The token of a session stands in a cookie that scripts cannot read, and nowhere else."""

from fastapi import Depends, Request, Response
from sqlalchemy.orm import Session as Records

from service.access.actors import Actor as Known
from service.access.browser import cookie
from service.access.decide import Resource
from service.access.enrolment import begin_factor, confirm_factor, end_factor, forget_factor
from service.access.entrance import Entered, accept_invitation, change_password, open_link, sign_in, sign_out
from service.access.factors import confirmed
from service.access.links import clips_left
from service.api.deps import Actor, Parts, Sender, Session, fetch, require, same_site, session_token
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.sessions import (
    FactorAsked,
    FactorBegun,
    FactorConfirmed,
    FactorEnded,
    Invitation,
    LinkOpened,
    Me,
    NewPassword,
    SignIn,
)
from service.records import Gym, Key, Person
from service.records import Session as SessionRow


def _own_site(request: Request, parts: Parts) -> None:
    same_site(request, parts.settings)


entering = router("sessions")
"""What is answered with a cookie, so only to our own pages, and never from what was kept: it may hold a password."""
sessions = router("sessions")
OwnSite = Depends(_own_site)


@entering.post("/session", dependencies=[OwnSite], status_code=201)
def enter(asked: SignIn, request: Request, response: Response, parts: Parts) -> Me:
    """Sign in with login and password, and a code where there is a second factor; the answer sets the session's cookie."""
    old, address = session_token(request, parts.settings), request.client.host if request.client else "unknown"
    password = asked.password.get_secret_value()
    entered = sign_in(parts.database, parts.settings, asked.login, password, address, old, asked.code)
    return _entered(entered, response, parts)


@entering.post("/link", dependencies=[OwnSite], status_code=201)
def enter_by_link(asked: LinkOpened, request: Request, response: Response, parts: Parts) -> Me:
    """Come in by an athlete's link; the answer sets the session's cookie."""
    with parts.database.session() as records:
        token = asked.token.get_secret_value()
        entered = open_link(records, parts.settings, token, session_token(request, parts.settings))
    return _entered(entered, response, parts)


@entering.post("/invitation", dependencies=[OwnSite], status_code=201)
def accept(asked: Invitation, response: Response, parts: Parts) -> Me:
    """Set a password by a coach's link, and come in."""
    token, password = asked.token.get_secret_value(), asked.password.get_secret_value()
    return _entered(accept_invitation(parts.database, parts.settings, token, password, asked.code), response, parts)


@sessions.get("/session")
def who_am_i(session: Session, actor: Actor) -> Me:
    """Who is signed in."""
    return _me(session, actor)


@entering.post("/session/password", dependencies=[OwnSite], status_code=200)
def renew_password(asked: NewPassword, actor: Sender, response: Response, parts: Parts) -> Me:
    """Change one's own password; every other session of one's own ends."""
    _require_coach(actor)
    current, password = asked.current.get_secret_value(), asked.password.get_secret_value()
    return _entered(change_password(parts.database, parts.settings, actor, current, password), response, parts)


@entering.post("/session/factor", dependencies=[OwnSite], status_code=201)
def ask_for_factor(asked: FactorAsked, actor: Sender, parts: Parts) -> FactorBegun:
    """Begin a second factor of one's own; it is asked for once its first code has come."""
    _require_coach(actor)
    begun = begin_factor(parts.database, actor, asked.password.get_secret_value())
    return FactorBegun(secret=begun.secret, address=begun.address)


@entering.put("/session/factor", dependencies=[OwnSite])
def set_factor(asked: FactorConfirmed, actor: Sender, response: Response, parts: Parts) -> Me:
    """Confirm it by the first code; every other session of one's own ends."""
    _require_coach(actor)
    return _entered(confirm_factor(parts.database, parts.settings, actor, asked.code), response, parts)


@entering.post("/session/factor/end", dependencies=[OwnSite], status_code=200)
def do_without_factor(asked: FactorEnded, actor: Sender, response: Response, parts: Parts) -> Me:
    """Do without a second factor of one's own from now on; every other session of one's own ends."""
    _require_coach(actor)
    password = asked.password.get_secret_value()
    return _entered(end_factor(parts.database, parts.settings, actor, password, asked.code), response, parts)


@sessions.delete("/people/{person_id}/factor", status_code=204)
def delete_factor(person_id: str, session: Session, actor: Actor) -> None:
    """Take the second factor of a coach away who has lost the phone; an owner does, and makes sure who asks."""
    person = fetch(session, Person, person_id, actor, "manage", "person")
    require(actor, "manage", Resource("invitation", person.gym_id, person.id, person.id))
    forget_factor(session, actor, person)


@sessions.delete("/session", status_code=204)
def leave(session: Session, actor: Actor, response: Response, parts: Parts) -> None:
    """Sign out."""
    sign_out(session, actor)
    response.delete_cookie(**cookie(parts.settings))


def _require_coach(actor: Known) -> None:
    if not actor.rules:
        raise Problem(403)


def _entered(entered: Entered, response: Response, parts: Parts) -> Me:
    response.set_cookie(value=entered.token, expires=entered.expires, **cookie(parts.settings))
    with parts.database.session() as records:
        return _me(records, entered.actor)


def _me(records: Records, actor: Actor) -> Me:
    gym = records.get_one(Gym, actor.gym_id)
    named = records.get_one(Person, actor.person_id) if actor.person_id else records.get_one(Key, actor.key_id)
    row = records.get(SessionRow, actor.session_id) if actor.session_id else None
    return Me(
        kind=actor.kind,
        gym_id=gym.id,
        gym=gym.name,
        person_id=actor.person_id,
        name=named.name,
        scopes=sorted(actor.scopes),
        expires=row.expires if row else None,
        second_factor=bool(actor.person_id and confirmed(records, actor.person_id)),
        clips_left=clips_left(records, actor),
    )

"""Links that let athletes in, and invitations by which coaches set their password."""

from fastapi import Response
from sqlalchemy import select

from service.access.audit import audit
from service.access.decide import Resource
from service.access.invitations import invite
from service.access.links import make_link, revoke_link
from service.api.deps import Actor, Parts, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.people import LinkGiven, LinkMade, NewLink
from service.records import Link, Person
from service.settings import Settings

links = router("people")

LINK_PAGE, INVITATION_PAGE = "/in", "/invited"
"""The pages that take the token out of the address, where no server and no log sees what stands after `#`."""


@links.get("/people/{person_id}/links")
def list_links(
    person_id: str, session: Session, actor: Actor, after: After = None, limit: Limit = 50
) -> Page[LinkGiven]:
    """Links of an athlete, and invitations of a coach, the newest first."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "read", Resource("link", person.gym_id, person.id))
    query = select(Link).where(Link.athlete_id == person.id)
    return page(session, query, (Link.created, Link.id), after, limit, LinkGiven.model_validate, newest_first=True)


@links.post("/people/{person_id}/links", status_code=201)
def add_link(
    person_id: str, asked: NewLink, session: Session, actor: Actor, parts: Parts, response: Response
) -> LinkMade:
    """Make a link that lets an athlete in."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "manage", Resource("link", person.gym_id, person.id))
    if person.role != "athlete" or person.ended is not None:
        raise Problem("conflict", "links are for athletes of the gym; a coach or an owner is invited")
    row, token = make_link(session, parts.settings, person, actor, days=asked.days, clips_a_day=asked.clips_a_day)
    audit(session, actor, "created", resource_of(row, "link"), {"kept until": row.expires})
    response.headers["Location"] = f"/api/v1/links/{row.id}"
    return _made(row, parts.settings, LINK_PAGE, token)


@links.post("/people/{person_id}/invitations", status_code=201)
def add_invitation(person_id: str, session: Session, actor: Actor, parts: Parts, response: Response) -> LinkMade:
    """Make a link by which a coach or an owner sets a password, once, within a day; an earlier one counts no more."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "manage", Resource("invitation", person.gym_id, person.id))
    if person.role == "athlete" or person.login is None or person.ended is not None:
        raise Problem("conflict", "invitations are for coaches and owners of the gym who have a login")
    row, token = invite(session, person, actor)
    audit(session, actor, "invited", resource_of(person, "person"))
    response.headers["Location"] = f"/api/v1/links/{row.id}"
    return _made(row, parts.settings, INVITATION_PAGE, token)


@links.delete("/links/{link_id}", status_code=204)
def delete_link(link_id: str, session: Session, actor: Actor) -> None:
    """Revoke a link or an invitation; whoever came by it is out at once."""
    row = fetch(session, Link, link_id, actor, "manage", "link")
    revoke_link(session, row)
    audit(session, actor, "revoked", resource_of(row, "link"))


def _made(row: Link, settings: Settings, place: str, token: str) -> LinkMade:
    given = LinkGiven.model_validate(row)
    return LinkMade(**given.model_dump(), address=f"{settings.url}{place}#{token}")

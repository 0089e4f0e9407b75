"""Keys of programs."""

from fastapi import Response
from sqlalchemy import select

from service.access.audit import audit
from service.access.decide import Resource
from service.access.keys import make_key, revoke_key, rotate_key
from service.access.within import within
from service.api.deps import Actor, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.route import router
from service.api.shapes.programs import KeyGiven, KeyMade, NewKey
from service.records import Key

keys = router("keys and hooks")


@keys.get("/keys")
def list_keys(session: Session, actor: Actor, after: After = None, limit: Limit = 50) -> Page[KeyGiven]:
    """The gym's keys, the newest first."""
    require(actor, "read", Resource("key", actor.gym_id))
    query = select(Key).where(within(actor, "read", "key", Key.gym_id))
    return page(session, query, (Key.created, Key.id), after, limit, KeyGiven.model_validate, newest_first=True)


@keys.post("/keys", status_code=201)
def add_key(asked: NewKey, session: Session, actor: Actor, response: Response) -> KeyMade:
    """Make a key; its secret is shown this once."""
    require(actor, "manage", Resource("key", actor.gym_id))
    assert actor.gym_id is not None
    row, secret = make_key(session, actor.gym_id, asked.name, asked.scopes, asked.expires)
    audit(session, actor, "created", resource_of(row, "key"), {"changed": sorted(asked.scopes)})
    return _made(row, secret, response)


@keys.post("/keys/{key_id}/rotate", status_code=201)
def rotate(key_id: str, session: Session, actor: Actor, response: Response) -> KeyMade:
    """Make a new key with the same name and scopes; the old one counts for another day."""
    old = fetch(session, Key, key_id, actor, "manage", "key")
    row, secret = rotate_key(session, old)
    audit(session, actor, "rotated", resource_of(old, "key"), {"created": row.id})
    return _made(row, secret, response)


@keys.delete("/keys/{key_id}", status_code=204)
def delete_key(key_id: str, session: Session, actor: Actor) -> None:
    """Revoke a key; it counts no more, at once."""
    row = fetch(session, Key, key_id, actor, "manage", "key")
    revoke_key(session, row)
    audit(session, actor, "revoked", resource_of(row, "key"))


def _made(row: Key, secret: str, response: Response) -> KeyMade:
    response.headers["Location"] = "/api/v1/keys"
    return KeyMade(**KeyGiven.model_validate(row).model_dump(), secret=secret)

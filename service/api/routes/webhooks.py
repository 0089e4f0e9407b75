"""Where a gym's program tool is told of news."""

from fastapi import Response
from sqlalchemy import func, select

from service.access.audit import audit
from service.access.decide import Resource
from service.access.within import within
from service.api.deps import Actor, Parts, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.programs import DeliveryGiven, NewWebhook, WebhookGiven, WebhookMade
from service.hooks.address import read_url
from service.hooks.signature import new_secret
from service.records import Delivery, Webhook

webhooks = router("keys and hooks")

MOST = 10
"""Webhooks of a gym: each event is written once for each."""


@webhooks.get("/webhooks")
def list_webhooks(session: Session, actor: Actor, after: After = None, limit: Limit = 50) -> Page[WebhookGiven]:
    """The gym's webhooks, the newest first."""
    require(actor, "read", Resource("webhook", actor.gym_id))
    query = select(Webhook).where(within(actor, "read", "webhook", Webhook.gym_id))
    by = (Webhook.created, Webhook.id)
    return page(session, query, by, after, limit, WebhookGiven.model_validate, newest_first=True)


@webhooks.post("/webhooks", status_code=201)
def add_webhook(asked: NewWebhook, session: Session, actor: Actor, parts: Parts, response: Response) -> WebhookMade:
    """Tell an address of news from now on. Messages are signed with the secret, which is shown this once."""
    require(actor, "manage", Resource("webhook", actor.gym_id))
    if not parts.settings.webhooks:
        raise Problem(
            "conflict", "this service calls no addresses; whoever runs it can turn that on (PLUMBREP_WEBHOOKS)"
        )
    read_url(asked.url, parts.settings)
    if (session.scalar(select(func.count()).where(Webhook.gym_id == actor.gym_id)) or 0) >= MOST:
        raise Problem("conflict", f"a gym has at most {MOST} webhooks; delete one first")
    row = Webhook(gym_id=actor.gym_id, url=asked.url, secret=new_secret(), events=sorted(set(asked.events)))
    session.add(row)
    session.flush()
    audit(session, actor, "created", resource_of(row, "webhook"))
    response.headers["Location"] = "/api/v1/webhooks"
    return WebhookMade(**WebhookGiven.model_validate(row).model_dump(), secret=row.secret)


@webhooks.delete("/webhooks/{webhook_id}", status_code=204)
def delete_webhook(webhook_id: str, session: Session, actor: Actor) -> None:
    """Tell this address nothing more."""
    row = fetch(session, Webhook, webhook_id, actor, "manage", "webhook")
    audit(session, actor, "deleted", resource_of(row, "webhook"))
    session.delete(row)


@webhooks.get("/webhooks/{webhook_id}/deliveries")
def list_deliveries(
    webhook_id: str, session: Session, actor: Actor, after: After = None, limit: Limit = 50
) -> Page[DeliveryGiven]:
    """What was sent, or is to be, and what came back; the newest first."""
    row = fetch(session, Webhook, webhook_id, actor, "read", "webhook")
    query = select(Delivery).where(Delivery.webhook_id == row.id)
    by = (Delivery.made, Delivery.id)
    return page(session, query, by, after, limit, DeliveryGiven.model_validate, newest_first=True)

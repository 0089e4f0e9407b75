"""Writing down what is to be told: in the transaction of the change itself, so that neither is ever without the other."""

import json
from collections.abc import Mapping
from typing import Any, Literal, get_args

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.records.base import new_id, now
from service.records.running import Delivery, Webhook

Event = Literal["clip.measured", "clip.refused", "effort.ruled", "effort.corrected", "clip.deleted"]
EVENTS: frozenset[Event] = frozenset(get_args(Event))


def announce(session: Session, gym_id: str, event: Event, body: Mapping[str, Any]) -> int:
    """Write a message to each webhook of a gym that asked for this event.

    A message is `{"id": ..., "event": ..., "made": ..., "data": body}`. Its identifier stays the same however often it is sent,
    so that a receiver can tell a second sending from a second event.

    Args:
        session: the transaction of the change.
        gym_id: the gym that it happened in.
        event: what happened.
        body: identifiers and states, JSON; a receiver fetches the rest with its key. No names.

    Returns:
        How many messages were written.
    """
    made = now()
    hooks = session.scalars(select(Webhook).where(Webhook.gym_id == gym_id, Webhook.active))
    asking = [hook for hook in hooks if event in hook.events]
    for hook in asking:
        message_id = new_id()
        message = {"id": message_id, "event": event, "made": made.isoformat(), "data": body}
        text = json.dumps(message, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
        session.add(
            Delivery(id=message_id, gym_id=gym_id, webhook_id=hook.id, event=event, body=text, made=made, due=made)
        )
    return len(asking)

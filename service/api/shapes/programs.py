"""Shapes of keys and webhooks."""

from datetime import datetime
from typing import Annotated, Final, Literal

from pydantic import AwareDatetime, Field

from service.access.actors import Scope
from service.api.shapes.common import Asked, Given, Id, Line
from service.hooks.announce import Event

SCOPES: Final[list[Scope]] = ["read:tempo", "read:people"]

Address = Annotated[str, Field(examples=["https://planner.example/plumbrep"])]
KeyName = Annotated[Line, Field(max_length=120, description="What it is for.", examples=["Planner"])]
Events = Annotated[
    list[Event],
    Field(min_length=1, max_length=10, description="What is told.", examples=[["clip.measured", "effort.ruled"]]),
]


class NewKey(Asked):
    """A key for a program."""

    name: KeyName
    scopes: Annotated[list[Scope], Field(min_length=1, max_length=10, description="What it may do.", examples=[SCOPES])]
    expires: Annotated[AwareDatetime | None, Field(description="Null: it counts until it is revoked.")] = None


class KeyGiven(Given):
    """A key, without its secret."""

    id: Id
    name: Annotated[str, Field(examples=["Planner"])]
    prefix: Annotated[str, Field(description="How it begins, after `pbk_`.", examples=["k3v9x2"])]
    scopes: Annotated[list[str], Field(examples=[SCOPES])]
    created: datetime
    expires: datetime | None
    revoked: datetime | None
    last_used: datetime | None


class KeyMade(KeyGiven):
    """A new key; its secret is shown this once."""

    secret: Annotated[
        str | None,
        Field(description="The key as it is sent. Null where the answer is given again.", examples=["pbk_k3v9x2_4Zk…"]),
    ]


class NewWebhook(Asked):
    """Where the gym's program tool is told of news."""

    url: Annotated[Address, Field(min_length=1, max_length=500)]
    events: Events


class WebhookGiven(Given):
    """A webhook, without its secret."""

    id: Id
    url: Address
    events: Annotated[list[str], Field(examples=[["clip.measured", "effort.ruled"]])]
    active: bool
    created: datetime


class WebhookMade(WebhookGiven):
    """A new webhook; the secret that signs its messages is shown this once."""

    secret: Annotated[str | None, Field(description="Null where the answer is given again.", examples=["phs_8Qm…"])]


class Try(Given):
    """One try to send a message."""

    at: datetime
    answer: Annotated[int | None, Field(description="The status that came back.", examples=[503])]
    error: Annotated[str | None, Field(description="Why none did.", examples=["no answer within 15 s"])]
    seconds: Annotated[float, Field(description="How long it took.", examples=[0.214])]


class DeliveryGiven(Given):
    """A message, and what became of it."""

    id: Id
    event: Annotated[str, Field(examples=["clip.measured"])]
    state: Literal["due", "done", "given up"]
    tries: Annotated[int, Field(examples=[2])]
    due: Annotated[datetime, Field(description="When it is tried next, or was last.")]
    answer: Annotated[int | None, Field(description="The last answer's status.", examples=[503])]
    error: Annotated[str | None, Field(examples=["no answer within 15 s"])]
    log: Annotated[list[Try], Field(description="All tries, the first one first.")]
    made: datetime

"""Shapes of signing in and out."""

from datetime import datetime
from typing import Annotated

from pydantic import Field, SecretStr

from service.access.actors import Kind
from service.api.shapes.common import Asked, Given, Id, IdOrNone

Password = Annotated[SecretStr, Field(max_length=1000, examples=["lamp river seven chalk"])]
Token = Annotated[
    SecretStr, Field(min_length=1, max_length=200, description="What stands in the link after `#`.", examples=["2JvK…"])
]


Code = Annotated[str, Field(max_length=20, description="Six digits of the second factor.", examples=["492039"])]


class SignIn(Asked):
    """A coach's or an owner's login and password."""

    login: Annotated[str, Field(max_length=200, examples=["mira"])]
    password: Password
    code: Code | None = None


class LinkOpened(Asked):
    """An athlete's link."""

    token: Token


class Invitation(Asked):
    """A coach's link, and the password that they take."""

    token: Token
    password: Password
    code: Code | None = None


class NewPassword(Asked):
    """A new password of one's own."""

    current: Password
    password: Password


class FactorAsked(Asked):
    """That one wants a second factor."""

    password: Password


class FactorBegun(Given):
    """What an authenticator app takes, shown this once."""

    secret: Annotated[str, Field(description="To be typed into the app.", examples=["JBSWY3DPEHPK3PXP"])]
    address: Annotated[
        str,
        Field(
            description="The same as an address that the app opens.",
            examples=["otpauth://totp/Plumbrep:mira?secret=JBSWY3DPEHPK3PXP&issuer=Plumbrep"],
        ),
    ]


class FactorConfirmed(Asked):
    """The first code that the app shows."""

    code: Code


class FactorEnded(Asked):
    """That one does without it from now on."""

    password: Password
    code: Code


class Me(Given):
    """Who is signed in, or whose key it is."""

    kind: Kind
    gym_id: Id
    gym: Annotated[str, Field(description="The gym's name.", examples=["Northside"])]
    person_id: IdOrNone
    name: Annotated[str, Field(description="The person's name, or the key's.", examples=["Mira Holt"])]
    scopes: Annotated[list[str], Field(description="Of a key: what it may do.", examples=[["read:tempo"]])]
    expires: Annotated[datetime | None, Field(description="When the session ends; null for a key.")] = None
    second_factor: Annotated[bool, Field(description="Whether a code is asked for beside the password.")] = False
    clips_left: Annotated[
        int | None, Field(description="How many clips are still taken today; null: no quota.", examples=[38])
    ] = None

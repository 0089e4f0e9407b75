"""How a receiver knows that a message is ours and new.

Each sending carries:

    Plumbrep-Delivery: the message's identifier, the same in every sending of it
    Plumbrep-Event:    what happened
    Plumbrep-Time:     seconds since 1970, when this sending was signed
    Plumbrep-Signature: v1=<64 hexadecimal digits>

The signature is the HMAC-SHA256, with the webhook's secret as its text stands, of the time, a full stop and the body's bytes.
A receiver computes it anew over the bytes as they came, compares in constant time, refuses a time more than 5 minutes from its
own clock, and remembers identifiers for as long. Other versions may be added beside `v1`, separated by commas.
"""

import hashlib
import hmac

from service.access.tokens import new_token

REPLAY_SECONDS = 300
"""How far a sending's time may be from the receiver's."""


def new_secret() -> str:
    """A webhook's secret, 256 random bits; `phs_` lets scanners for leaked secrets find it."""
    return f"phs_{new_token()}"


def sign(secret: str, time: int, body: bytes) -> str:
    """The value of `Plumbrep-Signature`."""
    return f"v1={hmac.new(secret.encode(), b'%d.%s' % (time, body), hashlib.sha256).hexdigest()}"

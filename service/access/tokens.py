"""Secrets that the service gives out. Only their digests are kept.

Each has 256 random bits, so that a plain SHA-256 is enough to keep (ASVS 5.0, 6.5.2): there is nothing to guess it by. Looking
a row up by the digest of what came tells an attacker nothing by its timing, because they cannot choose digests.
"""

import hashlib
import secrets

TOKEN_BYTES = 32


def new_token() -> str:
    """A secret that fits into an address: 43 characters."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def digest(token: str) -> str:
    """What is kept of a token: its SHA-256, in hexadecimal."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()

"""Where a webhook may point: never into our own network, unless the settings say so.

A gym's owner chooses the address, and this machine calls it; without a check, that owner could reach what only this machine can.
What counts is the address that is connected to, not the name: a name can be made to mean something else between two looks.
"""

import socket
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address
from typing import NamedTuple
from urllib.parse import urlsplit

from models.errors import BadInput
from service.settings import Settings

LONGEST = 500
_NAT64 = (IPv6Network("64:ff9b::/96"), IPv6Network("64:ff9b:1::/48"))
"""IPv6 addresses that a gateway turns into the IPv4 address in their last 32 bits."""


class WebhookError(BadInput):
    """An address that no webhook may have."""


class Target(NamedTuple):
    """A webhook's address, taken apart."""

    secure: bool
    host: str
    port: int
    path: str
    """With its query."""

    @property
    def host_header(self) -> str:
        """The name to ask for, with the port where it is not the usual one."""
        name = f"[{self.host}]" if ":" in self.host else self.host
        return name if self.port == (443 if self.secure else 80) else f"{name}:{self.port}"


def read_url(url: str, settings: Settings) -> Target:
    """Take a webhook's address apart, and check what can be checked without asking for the name.

    Raises:
        WebhookError: it is no address of a webhook, or plain HTTP or a private address where they are not allowed.
    """
    if len(url) > LONGEST or not url.isascii() or any(char <= " " or char == "\x7f" for char in url):
        raise WebhookError(f"a webhook's address has at most {LONGEST} characters, ASCII, without spaces")
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise WebhookError(f"not an address: {error}") from None
    schemes = ("https", "http") if settings.webhooks_private else ("https",)
    if parts.scheme not in schemes or not parts.hostname:
        raise WebhookError(f"a webhook's address begins with {' or '.join(f'{scheme}://' for scheme in schemes)}")
    if parts.username is not None or parts.password is not None or parts.fragment:
        raise WebhookError("a webhook's address holds no user, password or fragment; messages are signed instead")
    secure = parts.scheme == "https"
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    target = Target(secure, parts.hostname, port or (443 if secure else 80), path)
    try:
        literal = ip_address(target.host)
    except ValueError:
        return target
    if not may_connect(literal, settings):
        raise WebhookError(f"{target.host} lies in a private network, which webhooks may not reach here")
    return target


def resolve(target: Target, settings: Settings) -> list[str]:
    """The addresses of a target that may be connected to.

    Raises:
        OSError: the name is not known.
        WebhookError: none of its addresses may be reached.
    """
    found = socket.getaddrinfo(target.host, target.port, type=socket.SOCK_STREAM)
    addresses = list(dict.fromkeys(str(entry[4][0]) for entry in found))
    allowed = [address for address in addresses if may_connect(ip_address(address), settings)]
    if not allowed:
        raise WebhookError(f"{target.host} lies in a private network, which webhooks may not reach here")
    return allowed


def may_connect(address: IPv4Address | IPv6Address, settings: Settings) -> bool:
    """Whether a webhook may be sent to an address, and to what it may stand for."""
    return settings.webhooks_private or all(one.is_global and not one.is_multicast for one in _meant(address))


def _meant(address: IPv4Address | IPv6Address) -> list[IPv4Address | IPv6Address]:
    """The address, and the IPv4 addresses that networks on the way may make of it."""
    if isinstance(address, IPv4Address):
        return [address]
    inner: list[IPv4Address | None] = [address.ipv4_mapped, address.sixtofour, *(address.teredo or ())]
    if any(address in network for network in _NAT64):
        inner.append(IPv4Address(address.packed[-4:]))
    return [address, *(one for one in inner if one is not None)]

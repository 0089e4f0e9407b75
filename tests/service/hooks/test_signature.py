import hashlib
import hmac
import re

from service.hooks.signature import new_secret, sign


def test_against_the_primitive_spelled_out() -> None:
    """HMAC as RFC 2104 defines it, without the library's own."""
    secret, body = "phs_example", b'{"id":"a"}'
    key = secret.encode().ljust(64, b"\0")
    inner = hashlib.sha256(bytes(b ^ 0x36 for b in key) + b"1700000000." + body).digest()
    outer = hashlib.sha256(bytes(b ^ 0x5C for b in key) + inner).hexdigest()
    assert sign(secret, 1700000000, body) == f"v1={outer}"


def test_depends_on_all_of_it() -> None:
    base = sign("s", 10, b"0.x")
    assert len({base, sign("t", 10, b"0.x"), sign("s", 11, b"0.x"), sign("s", 10, b"0.y"), sign("s", 1, b"0.0.x")}) == 5
    assert hmac.compare_digest(base, sign("s", 10, b"0.x"))


def test_secrets_are_long_and_fit_their_column() -> None:
    secret = new_secret()
    assert re.fullmatch(r"phs_[\w-]{43}", secret)
    assert secret != new_secret()

import pytest

from service.access.browser import cookie, forged
from service.settings import Settings

PLAIN = Settings()
SECURE = Settings(public_url="https://gym.example")


def test_asvs_3_3_1_to_3_3_4_the_cookie_over_tls() -> None:
    assert cookie(SECURE) == {
        "key": "__Host-plumbrep", "path": "/", "secure": True, "httponly": True, "samesite": "lax",
    }  # fmt: skip


def test_on_this_machine_alone_the_cookie_goes_without_tls() -> None:
    look = cookie(PLAIN)
    assert (look["key"], look["secure"], look["httponly"]) == ("plumbrep", False, True)


@pytest.mark.parametrize(
    ("headers", "bad"),
    [
        ({"sec-fetch-site": "same-origin"}, False),
        ({"sec-fetch-site": "same-origin", "origin": "https://gym.example"}, False),
        ({"sec-fetch-site": "same-site", "origin": "https://other.gym.example"}, True),
        ({"sec-fetch-site": "cross-site", "origin": "https://evil.example"}, True),
        ({"sec-fetch-site": "cross-site", "origin": "https://gym.example"}, True),
        ({"sec-fetch-site": "none"}, True),
        ({"origin": "https://gym.example"}, False),
        ({"origin": "https://gym.example", "host": "inner:8080"}, False),
        ({"origin": "https://gym.example:8443", "host": "gym.example"}, True),
        ({"origin": "http://gym.example", "host": "gym.example"}, True),
        ({"origin": "https://gym.example.evil.example", "host": "gym.example"}, True),
        ({"origin": "null", "host": "gym.example"}, True),
        ({"origin": "https://", "host": ""}, True),
        ({"origin": ""}, True),
        ({"referer": "https://gym.example/"}, True),
        ({}, True),
    ],
)
@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "post", "ANYTHING"])
def test_asvs_3_5_1_requests_of_other_sites(method: str, headers: dict[str, str], bad: bool) -> None:
    assert forged(method, headers, SECURE) is bad


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_what_changes_nothing_may_come_from_anywhere(method: str) -> None:
    assert not forged(method, {"sec-fetch-site": "cross-site", "origin": "https://evil.example"}, SECURE)


def test_this_machine_has_several_names() -> None:
    assert not forged("POST", {"origin": "http://localhost:8080", "host": "localhost:8080"}, PLAIN)
    assert not forged("POST", {"origin": "http://127.0.0.1:8080", "host": "whatever"}, PLAIN)
    assert forged("POST", {"origin": "http://localhost:9999", "host": "localhost:8080"}, PLAIN)

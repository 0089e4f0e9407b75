import pytest
from fastapi.testclient import TestClient

from service.access.browser import cookie
from service.access.entrance import set_password
from service.records import Person
from tests.service.api.world import World
from tests.service.pages.conftest import as_browser

PASSWORD = "lamp river seven chalk"  # noqa: S105 -- of an invented person


@pytest.fixture(scope="module")
def login(world: World) -> str:
    with world.parts.database.session() as records:
        coach = records.get_one(Person, world.home.coach.id)
        set_password(records, coach, PASSWORD)
        return str(coach.login)


def test_whoever_comes_is_led_to_their_first_page(world: World, browser: TestClient) -> None:
    assert browser.get("/").headers["location"] == "/sign-in"
    for person, home in ((world.home.athlete, "/me"), (world.home.coach, "/review"), (world.home.owner, "/review")):
        client = as_browser(world.client(person))
        assert client.get("/").headers["location"] == home
        assert client.get("/sign-in").headers["location"] == home


@pytest.mark.parametrize(
    ("asked", "led"),
    [
        ("/athletes/1?from=2026-01-01", "/athletes/1?from=2026-01-01"),
        ("", "/"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example/", "/"),
        ("/\\elsewhere.example/", "/"),
        ("\\\\elsewhere.example", "/"),
        ("/\t/elsewhere.example", "/"),
        ("javascript:alert(1)", "/"),
        ("review", "/"),
    ],
)
def test_signing_in_leads_only_to_our_own_pages(browser: TestClient, login: str, asked: str, led: str) -> None:
    answer = browser.post("/sign-in", data={"login": login, "password": PASSWORD, "next": asked})
    assert (answer.status_code, answer.headers["location"]) == (303, led)
    assert "httponly" in answer.headers["set-cookie"].lower()


def test_what_was_typed_is_shown_again_but_not_the_password(browser: TestClient) -> None:
    answer = browser.post("/sign-in", data={"login": '"><script>', "password": "not this one", "next": "/review"})
    assert answer.status_code == 401
    assert "&#34;&gt;&lt;script&gt;" in answer.text
    assert 'value="/review"' in answer.text
    assert "not this one" not in answer.text


def test_signing_in_too_often_says_when_to_come_back(browser: TestClient) -> None:
    answers = [browser.post("/sign-in", data={"login": "mira", "password": "x"}) for _ in range(6)]
    assert [each.status_code for each in answers] == [401] * 5 + [429]
    assert int(answers[-1].headers["retry-after"]) > 0
    assert "too many tries to sign in" in answers[-1].text


@pytest.mark.parametrize("path", ["/sign-in", "/sign-out"])
def test_another_sites_form_is_refused(world: World, path: str) -> None:
    client = as_browser(world.client(world.home.coach))
    answer = client.post(path, headers={"Origin": "https://elsewhere.example"})
    assert answer.status_code == 403
    assert client.get("/").headers["location"] == "/review"


def test_signing_out_ends_the_session(world: World) -> None:
    client = as_browser(world.client(world.home.owner))
    token = client.cookies[cookie(world.settings)["key"]]
    assert client.post("/sign-out").headers["location"] == "/sign-in?out=1"
    client.cookies.set(cookie(world.settings)["key"], token)
    assert client.get("/").headers["location"] == "/sign-in"
    assert "You are signed out." in client.get("/sign-in?out=1").text

import pytest
from fastapi.testclient import TestClient

from tests.service.api.world import World

PASSWORD = "seven quiet otters juggle"  # noqa: S105 -- of nobody


def _token(address: str) -> str:
    return address.partition("#")[2]


def test_an_athlete_comes_in_by_a_link(world: World, coach: TestClient) -> None:
    person = world.home.athlete
    made = coach.post(f"/api/v1/people/{person.id}/links", json={"clips_a_day": 3}).json()
    browser = world.client()
    me = browser.post("/api/v1/link", json={"token": _token(made["address"])})
    assert (me.status_code, me.json()["person_id"], me.json()["clips_left"]) == (201, person.id, 3)
    assert "HttpOnly" in me.headers["set-cookie"]
    assert browser.get("/api/v1/session").json()["kind"] == "athlete"
    coach.delete(f"/api/v1/links/{made['id']}")
    assert browser.get("/api/v1/session").status_code == 401
    assert browser.post("/api/v1/link", json={"token": _token(made["address"])}).status_code == 401


def test_a_coach_is_invited_and_signs_in_and_out(world: World, owner: TestClient) -> None:
    person = world.home.coach
    made = owner.post(f"/api/v1/people/{person.id}/invitations").json()
    browser = world.client()
    token = _token(made["address"])
    assert browser.post("/api/v1/invitation", json={"token": token, "password": "short"}).status_code == 422
    assert browser.post("/api/v1/invitation", json={"token": token, "password": PASSWORD}).status_code == 201
    assert browser.get("/api/v1/session").json()["person_id"] == person.id
    assert browser.delete("/api/v1/session").status_code == 204
    assert browser.get("/api/v1/session").status_code == 401
    wrong = browser.post("/api/v1/session", json={"login": person.login, "password": "not this one at all"})
    assert (wrong.status_code, wrong.json()["detail"]) == (401, "the login or the password is wrong")
    assert browser.post("/api/v1/session", json={"login": person.login, "password": PASSWORD}).status_code == 201


@pytest.mark.parametrize("headers", [{"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}])
def test_another_sites_page_changes_nothing(world: World, coach: TestClient, headers: dict[str, str]) -> None:
    place = f"/api/v1/people/{world.home.athlete.id}/pain"
    assert coach.post(place, json={"text": "knee"}, headers=headers).status_code == 403
    assert world.client().post("/api/v1/link", json={"token": "x"}, headers=headers).status_code == 403
    assert coach.get("/api/v1/pain").json()["items"] == []


def test_nobody_is_told_how_to_come_in(world: World) -> None:
    answer = world.client().get("/api/v1/people")
    assert (answer.status_code, answer.headers["www-authenticate"]) == (401, "Bearer")


def test_a_program_does_what_its_scopes_say(world: World) -> None:
    program = world.program(world.home, "read:people")
    assert program.get("/api/v1/people").status_code == 200
    assert program.get("/api/v1/session").json()["scopes"] == ["read:people"]
    assert program.post("/api/v1/people", json={"name": "x"}).status_code == 403
    assert program.get("/api/v1/prescriptions").json()["items"] == []

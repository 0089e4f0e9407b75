from time import time

import pytest
from fastapi.testclient import TestClient
from pyotp import TOTP

from service.access.factors import STEP
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


def test_a_second_factor_over_http(world: World, owner: TestClient, athlete: TestClient) -> None:
    person, browser = world.home.coach, world.client()
    token = _token(owner.post(f"/api/v1/people/{person.id}/invitations").json()["address"])
    browser.post("/api/v1/invitation", json={"token": token, "password": PASSWORD})
    assert browser.post("/api/v1/session/factor", json={"password": "not this one"}).status_code == 401
    begun = browser.post("/api/v1/session/factor", json={"password": PASSWORD}).json()
    assert begun["address"].startswith("otpauth://totp/Plumbrep:")
    code = TOTP(begun["secret"])
    assert browser.put("/api/v1/session/factor", json={"code": "12345"}).status_code == 422
    me = browser.put("/api/v1/session/factor", json={"code": code.now()})
    assert (me.status_code, me.json()["second_factor"]) == (200, True)
    assert browser.get("/api/v1/session").json()["second_factor"] is True

    asked = {"login": person.login, "password": PASSWORD}
    missing = world.client().post("/api/v1/session", json=asked)
    assert (missing.status_code, missing.json()["type"]) == (401, "/api/v1/problems/code-needed")
    page = world.client().post("/sign-in", data=asked)
    assert (page.status_code, "six digits" in page.text) == (401, True)
    later = {"code": code.at(time() + STEP)}
    page = world.client().post("/sign-in", data=asked | later, follow_redirects=False)
    assert (page.status_code, "set-cookie" in page.headers) == (303, True)
    assert world.client().post("/api/v1/session", json=asked | later).status_code == 401, "used already"

    end = "/api/v1/session/factor/end"
    assert browser.post(end, json={"password": PASSWORD, "code": "000000"}).status_code == 401
    assert athlete.post(end, json={"password": PASSWORD, "code": "000000"}).status_code == 403
    place = f"/api/v1/people/{person.id}/factor"
    assert world.client(world.away.owner).delete(place).status_code == 404
    assert browser.delete(place).status_code == 403
    assert owner.delete(place).status_code == 204
    assert browser.get("/api/v1/session").status_code == 401
    assert world.client().post("/api/v1/session", json=asked).status_code == 201
    assert athlete.post("/api/v1/session/factor", json={"password": PASSWORD}).status_code == 403


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

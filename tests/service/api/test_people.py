from fastapi.testclient import TestClient

from tests.service.api.world import World


def test_an_owner_adds_people_and_a_coach_sees_them(owner: TestClient, coach: TestClient) -> None:
    made = owner.post("/api/v1/people", json={"name": "Mira Holt", "height_cm": 172})
    assert made.status_code == 201
    assert made.headers["location"] == f"/api/v1/people/{made.json()['id']}"
    seen = coach.get(made.headers["location"])
    assert seen.json() == made.json()
    assert "Mira Holt" in [each["name"] for each in coach.get("/api/v1/people").json()["items"]]


def test_a_coach_adds_nobody(coach: TestClient) -> None:
    answer = coach.post("/api/v1/people", json={"name": "Mira Holt"})
    assert (answer.status_code, answer.json()["title"]) == (403, "Forbidden")


def test_an_athlete_sees_themselves_only(world: World, athlete: TestClient) -> None:
    listed = athlete.get("/api/v1/people").json()["items"]
    assert [each["id"] for each in listed] == [world.home.athlete.id]
    assert athlete.get(f"/api/v1/people/{world.home.other_athlete.id}").status_code == 404


def test_a_list_comes_page_by_page(coach: TestClient) -> None:
    first = coach.get("/api/v1/people?limit=3").json()
    second = coach.get(f"/api/v1/people?limit=3&after={first['next']}").json()
    ids = [each["id"] for page in (first, second) for each in page["items"]]
    assert len(ids) == len(set(ids)) == 4
    assert second["next"] is None


def test_a_change_needs_the_state_it_is_made_from(world: World, owner: TestClient) -> None:
    place = f"/api/v1/people/{world.home.athlete.id}"
    tag = owner.get(place).headers["etag"]
    assert owner.patch(place, json={"height_cm": 171.5}).status_code == 428
    changed = owner.patch(place, json={"height_cm": 171.5}, headers={"If-Match": tag})
    assert (changed.status_code, changed.json()["height_cm"]) == (200, 171.5)
    stale = owner.patch(place, json={"height_cm": 160}, headers={"If-Match": tag})
    assert (stale.status_code, stale.json()["type"]) == (412, "/api/v1/problems/changed-since")
    again = owner.patch(place, json={"height_cm": None}, headers={"If-Match": changed.headers["etag"]})
    assert again.json()["height_cm"] is None


def test_what_was_read_is_not_sent_again(world: World, coach: TestClient) -> None:
    place = f"/api/v1/people/{world.home.athlete.id}"
    tag = coach.get(place).headers["etag"]
    same = coach.get(place, headers={"If-None-Match": f'"other", W/{tag}'})
    assert (same.status_code, same.content, same.headers["etag"]) == (304, b"", tag)
    assert coach.get(place, headers={"If-None-Match": '"other"'}).status_code == 200


def test_a_login_is_taken_once_in_any_case(world: World, owner: TestClient) -> None:
    asked = {"name": "Second", "role": "coach", "login": str(world.away.coach.login).upper()}
    assert owner.post("/api/v1/people", json=asked).status_code == 409


def test_who_has_left_is_out_at_once(world: World, owner: TestClient, athlete: TestClient) -> None:
    assert athlete.get("/api/v1/session").status_code == 200
    place = f"/api/v1/people/{world.home.athlete.id}"
    owner.patch(place, json={"ended": True}, headers={"If-Match": "*"})
    assert athlete.get("/api/v1/session").status_code == 401
    assert world.home.athlete.id not in owner.get("/api/v1/people").text
    assert world.home.athlete.id in owner.get("/api/v1/people?ended=true").text


def test_wrong_fields_are_told_one_by_one(owner: TestClient) -> None:
    answer = owner.post("/api/v1/people", json={"nam": "x", "height_cm": 3})
    assert (answer.status_code, answer.headers["content-type"]) == (422, "application/problem+json")
    assert {each["where"] for each in answer.json()["errors"]} == {"body.name", "body.nam", "body.height_cm"}


def test_a_login_that_nobody_could_see_is_refused(owner: TestClient) -> None:
    asked = {"name": "Second", "role": "coach", "login": "mira\u200b"}
    answer = owner.post("/api/v1/people", json=asked)
    assert (answer.status_code, "body.login" in answer.json()["detail"]) == (422, True)

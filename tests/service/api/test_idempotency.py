from concurrent.futures import ThreadPoolExecutor

from fastapi.testclient import TestClient

from tests.service.api.world import PLAN, World

KEY = {"Idempotency-Key": "a-key-of-ours"}


def test_sent_again_it_is_done_once(world: World, coach: TestClient) -> None:
    asked = {"athlete": world.home.athlete.id, "text": PLAN}
    first = coach.post("/api/v1/prescriptions", json=asked, headers=KEY)
    again = coach.post("/api/v1/prescriptions", json=asked, headers=KEY)
    assert (again.status_code, again.json()) == (201, first.json())
    assert again.headers["location"] == first.headers["location"]
    assert again.headers["idempotency-replayed"] == "true"
    assert len(coach.get("/api/v1/prescriptions").json()["items"]) == 1


def test_the_same_key_for_something_else_is_refused(world: World, coach: TestClient) -> None:
    asked = {"athlete": world.home.athlete.id, "text": PLAN}
    coach.post("/api/v1/prescriptions", json=asked, headers=KEY)
    other = coach.post("/api/v1/prescriptions", json={**asked, "text": PLAN + "\n"}, headers=KEY)
    assert (other.status_code, other.json()["type"]) == (422, "/api/v1/problems/key-reused")


def test_keys_of_two_people_do_not_meet(world: World, coach: TestClient, owner: TestClient) -> None:
    asked = {"athlete": world.home.athlete.id, "text": PLAN}
    first, second = (each.post("/api/v1/prescriptions", json=asked, headers=KEY).json() for each in (coach, owner))
    assert first["id"] != second["id"]


def test_what_failed_may_be_tried_again(world: World, coach: TestClient) -> None:
    wrong = {"athlete": world.home.athlete.id, "text": "movement ="}
    assert coach.post("/api/v1/prescriptions", json=wrong, headers=KEY).status_code == 422
    right = {"athlete": world.home.athlete.id, "text": PLAN}
    assert coach.post("/api/v1/prescriptions", json=right, headers=KEY).status_code == 201


def test_a_secret_is_shown_once(world: World, coach: TestClient) -> None:
    place = f"/api/v1/people/{world.home.athlete.id}/links"
    first = coach.post(place, json={}, headers=KEY).json()
    again = coach.post(place, json={}, headers=KEY).json()
    assert again == {**first, "address": None}


def test_at_the_same_moment_it_is_done_once(world: World) -> None:
    asked = {"athlete": world.home.athlete.id, "text": PLAN}
    coaches = [world.client(world.home.coach) for _ in range(4)]
    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(lambda each: each.post("/api/v1/prescriptions", json=asked, headers=KEY), coaches))
    assert {each.status_code for each in answers} <= {201, 409}
    assert len(coaches[0].get("/api/v1/prescriptions").json()["items"]) == 1

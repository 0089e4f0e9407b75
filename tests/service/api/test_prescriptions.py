from fastapi.testclient import TestClient
from httpx2 import Response

from tests.service.api.world import PLAN, World


def _prescribe(world: World, coach: TestClient, text: str = PLAN) -> Response:
    return coach.post("/api/v1/prescriptions", json={"athlete": world.home.athlete.id, "text": text})


def test_a_coach_prescribes_and_the_athlete_reads_it(world: World, coach: TestClient, athlete: TestClient) -> None:
    made = _prescribe(world, coach)
    assert made.status_code == 201
    assert made.json()["version"]["dose"] == "1 x 3, 3-0-1-0"
    assert athlete.get(made.headers["location"]).json() == made.json()
    other = world.client(world.home.other_athlete)
    assert other.get(made.headers["location"]).status_code == 404
    assert other.get("/api/v1/prescriptions").json()["items"] == []


def test_what_is_wrong_in_the_text_is_told_with_its_place(world: World, coach: TestClient) -> None:
    answer = _prescribe(world, coach, 'movement = "push-up"\nreps = "many"\n')
    assert answer.status_code == 422
    assert "line 2" in answer.json()["detail"]


def test_an_athlete_prescribes_nothing(world: World, athlete: TestClient) -> None:
    assert _prescribe(world, athlete).status_code == 403


def test_every_change_is_a_version(world: World, coach: TestClient) -> None:
    made = _prescribe(world, coach)
    place, tag = made.headers["location"], made.headers["etag"]
    harder = PLAN.replace("reps = 3", "reps = 5")
    assert coach.put(place, json={"text": harder}).status_code == 428
    changed = coach.put(place, json={"text": harder}, headers={"If-Match": tag})
    assert changed.json()["version"]["n"] == 2
    assert coach.put(place, json={"text": PLAN}, headers={"If-Match": tag}).status_code == 412
    same = coach.put(place, json={"text": harder, "active": False}, headers={"If-Match": changed.headers["etag"]})
    assert (same.json()["version"]["n"], same.json()["active"]) == (2, False)
    assert [each["n"] for each in coach.get(f"{place}/versions").json()["items"]] == [2, 1]
    assert coach.get(f"{place}/versions?limit=1").json()["items"][0]["text"] == harder


def test_another_movement_is_another_prescription(world: World, coach: TestClient) -> None:
    place = _prescribe(world, coach).headers["location"]
    asked = {"text": 'movement = "row"\nreps = 5\n'}
    assert coach.put(place, json=asked, headers={"If-Match": "*"}).status_code == 409


def test_filters_pick(world: World, coach: TestClient) -> None:
    _prescribe(world, coach)
    _prescribe(world, coach, 'movement = "row"\nreps = 5\n')
    rows = coach.get("/api/v1/prescriptions?movement=row").json()["items"]
    assert [each["movement"] for each in rows] == ["row"]
    assert coach.get("/api/v1/prescriptions?active=false").json()["items"] == []


def test_a_program_prescribes_within_its_scope(world: World) -> None:
    asked = {"athlete": world.home.athlete.id, "text": PLAN}
    program = world.program(world.home, "write:prescriptions")
    assert program.post("/api/v1/prescriptions", json=asked).json()["version"]["created_by"] is None
    assert world.program(world.home, "read:tempo").post("/api/v1/prescriptions", json=asked).status_code == 403
    foreign = {"athlete": world.away.athlete.id, "text": PLAN}
    assert program.post("/api/v1/prescriptions", json=foreign).status_code == 422

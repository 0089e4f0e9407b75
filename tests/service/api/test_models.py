from importlib.resources import files
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from models.body.athlete import Athlete
from models.movements import load_movement, movement_names
from service.asked import read_asked
from service.demanding import of_prescription
from tests.service.api.world import PLAN, World


def test_the_catalogue_is_listed_and_told(coach: TestClient) -> None:
    listed = coach.get("/api/v1/movements").json()["items"]
    assert [each["name"] for each in listed] == list(movement_names())
    told = coach.get("/api/v1/movements/push-up").json()
    assert list(told["cautions"]) == list(load_movement("push-up").cautions)
    assert coach.get("/api/v1/movements/handwalk").status_code == 404


def test_a_gym_uses_some_movements(world: World, coach: TestClient, athlete: TestClient) -> None:
    def used(client: TestClient) -> list[str]:
        return [each["name"] for each in client.get("/api/v1/movements?in_use=true").json()["items"] if each["in_use"]]

    assert used(coach) == []
    for _ in range(2):
        assert coach.put("/api/v1/movements/row/use").status_code == 204
    coach.post("/api/v1/prescriptions", json={"athlete": world.home.athlete.id, "text": PLAN})
    assert used(coach) == used(athlete) == used(world.program(world.home, "read:tempo")) == ["push-up", "row"]
    assert used(world.client(world.away.coach)) == []
    others = coach.get("/api/v1/movements?in_use=false").json()["items"]
    assert len(others) == len(movement_names()) - 2
    assert not {each["name"] for each in others} & {"push-up", "row"}
    assert coach.delete("/api/v1/movements/push-up/use").status_code == 204
    assert used(coach) == ["row"]
    assert athlete.put("/api/v1/movements/dip/use").status_code == 403
    assert coach.put("/api/v1/movements/handwalk/use").status_code == 404


def test_the_machines_own_movements_are_in_the_catalogue(
    world: World, coach: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied = files("models.movements").joinpath("push-up.toml").read_text()
    (tmp_path / "our-push-up.toml").write_text(copied)
    monkeypatch.setenv("PLUMBREP_MOVEMENTS", str(tmp_path))
    listed = {each["name"]: each["own"] for each in coach.get("/api/v1/movements").json()["items"]}
    assert (listed["our-push-up"], listed["push-up"]) == (True, False)
    assert coach.get("/api/v1/movements/our-push-up").json()["title"] == "Push-up"
    text = PLAN.replace("push-up", "our-push-up")
    given = coach.post("/api/v1/prescriptions", json={"athlete": world.home.athlete.id, "text": text})
    assert given.json()["movement"] == "our-push-up"


def test_demand_is_told_as_the_command_tells_it(coach: TestClient) -> None:
    asked = {"what": "push-up hands_raised_cm=30", "body": {"sex": "woman", "mass_kg": 60}, "variants": True}
    told = coach.post("/api/v1/demand", json=asked).json()
    plan, body = read_asked(["push-up", "hands_raised_cm=30"]), Athlete(sex="woman", mass_kg=60)
    assert told["rows"] == [row.model_dump(mode="json") for row in of_prescription(plan, body)]
    assert len(told["variants"]) > 3
    by_toml = coach.post(
        "/api/v1/demand", json={**asked, "what": 'movement = "push-up"\nreps = 5\nhands_raised_cm = 30'}
    )
    assert by_toml.json()["rows"] == told["rows"]


def test_demand_uses_what_is_known_of_an_athlete(world: World, owner: TestClient) -> None:
    person = world.home.athlete.id
    owner.patch(f"/api/v1/people/{person}", json={"mass_kg": 61.5, "sex": "female"}, headers={"If-Match": "*"})
    told = owner.post("/api/v1/demand", json={"what": "push-up", "person": person}).json()
    assert (told["athlete"]["mass_kg"], told["athlete"]["sex"]) == (61.5, "woman")


@pytest.mark.parametrize(
    "what", ["plan.toml", "/etc/passwd.toml x=1", "document.json", "pushup", 'push-up "', "push-up x"]
)
def test_what_cannot_be_read_is_refused_and_no_file_is_looked_at(coach: TestClient, what: str) -> None:
    answer = coach.post("/api/v1/demand", json={"what": what})
    assert (answer.status_code, answer.json()["type"]) == (422, "/api/v1/problems/bad-input")


def test_a_path_is_laid_and_halted_by_pain(world: World, coach: TestClient, athlete: TestClient) -> None:
    person = world.home.athlete.id
    asked = {"goal": "push-up", "owns": "push-up hands_raised_cm=60", "person": person}
    steps = coach.post("/api/v1/path", json=asked).json()["steps"]
    assert len(steps) > 2
    pain = athlete.post(f"/api/v1/people/{person}/pain", json={"text": "left wrist"}).json()
    halted = coach.post("/api/v1/path", json=asked).json()
    assert len(halted["steps"]) == 1
    assert "pain" in halted["halted"]
    assert athlete.post(f"/api/v1/pain/{pain['id']}/clear").status_code == 403
    assert coach.post(f"/api/v1/pain/{pain['id']}/clear").json()["cleared_by"] == world.home.coach.id
    assert coach.post("/api/v1/path", json=asked).json()["steps"] == steps


def test_without_records_nothing_is_owned(world: World, coach: TestClient) -> None:
    answer = coach.post("/api/v1/path", json={"goal": "push-up", "person": world.home.athlete.id})
    assert "nothing is owned" in answer.json()["detail"]


def test_an_athlete_asks_for_nobody_else(world: World, athlete: TestClient) -> None:
    asked = {"what": "push-up", "person": world.home.other_athlete.id}
    assert athlete.post("/api/v1/demand", json=asked).status_code == 404

import csv
import io
import json
from datetime import UTC, datetime, timedelta

import pytest
from fastapi.testclient import TestClient

from service.records.changing import begin_history
from tests.by_hand import plank
from tests.service.api.world import World

MAY = datetime(2026, 5, 1, 18, 0, tzinfo=UTC)


@pytest.fixture
def program(world: World) -> TestClient:
    return world.program(world.home, "read:tempo")


def _measure(world: World) -> None:
    athlete, other = world.home.athlete, world.home.other_athlete
    world.measured(athlete, version=world.prescription(athlete), filmed=MAY)
    world.measured(other, plank(), filmed=MAY + timedelta(days=1))
    world.measured(world.away.athlete, filmed=MAY)


def test_a_program_reads_tempo_with_its_uncertainty(world: World, program: TestClient) -> None:
    _measure(world)
    rows = program.get("/api/v1/tempo").json()["items"]
    assert [row["lowering_s"] for row in rows] == [3.0, 3.0, 2.0]
    assert {row["lowering_u95"] for row in rows} == {0.08}
    assert [row["verdict"] for row in rows] == ["met", "met", "missed"]
    assert {row["athlete_id"] for row in rows} == {world.home.athlete.id}


def test_the_same_comes_as_csv(world: World, program: TestClient) -> None:
    _measure(world)
    as_json = program.get("/api/v1/tempo?limit=2").json()
    for answer in (
        program.get("/api/v1/tempo?limit=2&format=csv"),
        program.get("/api/v1/tempo?limit=2", headers={"Accept": "text/csv, application/json;q=0.5"}),
    ):
        assert answer.headers["content-type"].startswith("text/csv")
        rows = list(csv.DictReader(io.StringIO(answer.text)))
        assert [row["lowering_s"] for row in rows] == ["3.0", "3.0"]
        assert list(rows[0]) == list(as_json["items"][0])
        assert f"after={as_json['next']}" in answer.headers["link"]
    assert program.get("/api/v1/tempo", headers={"Accept": "image/png"}).status_code == 406


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("kind=hold", 1),
        ("kind=rep", 3),
        ("verdict=met", 2),
        ("verdict=none", 1),
        ("ruling=none", 4),
        ("ruling=missed", 0),
        ("movement=row", 0),
        ("from=2026-05-02T00:00:00Z", 1),
        ("to=2026-05-02T00:00:00%2B00:00", 3),
        ("variant=push-up", 3),
        ("newest_first=true&limit=1", 1),
    ],
)
def test_filters_pick(world: World, program: TestClient, query: str, found: int) -> None:
    _measure(world)
    assert len(program.get(f"/api/v1/efforts?{query}").json()["items"]) == found


@pytest.mark.parametrize("query", ["kind=both", "from=yesterday", "from=2026-05-01T00:00:00", "limit=0", "after=x"])
def test_what_cannot_be_asked_is_told(program: TestClient, query: str) -> None:
    answer = program.get(f"/api/v1/efforts?{query}")
    assert (answer.status_code, answer.headers["content-type"]) == (422, "application/problem+json")


def test_pages_of_efforts_join(world: World, program: TestClient) -> None:
    _measure(world)
    found, after = [], ""
    while after is not None:
        page = program.get(f"/api/v1/efforts?limit=3{after and f'&after={after}'}").json()
        found += [row["id"] for row in page["items"]]
        after = page["next"]
    assert len(found) == len(set(found)) == 4


def test_an_athlete_reads_their_own_only(world: World, athlete: TestClient) -> None:
    _measure(world)
    rows = athlete.get("/api/v1/efforts").json()["items"]
    assert {row["athlete_id"] for row in rows} == {world.home.athlete.id}
    assert athlete.get(f"/api/v1/efforts?athlete={world.home.other_athlete.id}").status_code == 404
    assert athlete.get("/api/v1/changes").status_code == 403
    assert world.program(world.home, "read:people").get("/api/v1/efforts").status_code == 403


def test_a_set_comes_with_its_checks(world: World, program: TestClient) -> None:
    _measure(world)
    effort = program.get("/api/v1/efforts?verdict=missed").json()["items"][0]
    told = program.get(f"/api/v1/sets/{effort['set_id']}").json()
    assert [each["n"] for each in told["efforts"]] == [1, 2, 3]
    assert told["efforts"][2]["checks"][1]["why"].startswith("Lowering took 2.00")
    assert told["checks"][0]["name"] == "lowering" or told["checks"][0]["why"].startswith("Reps")
    clip = effort["clip_id"]
    assert [each["id"] for each in program.get(f"/api/v1/clips/{clip}/sets").json()["items"]] == [told["id"]]
    one = program.get(f"/api/v1/efforts/{effort['id']}").json()
    assert (one["rulings"], one["corrections"], len(one["checks"])) == ([], [], 2)


def test_sums_by_week(world: World, program: TestClient) -> None:
    _measure(world)
    rows = {row["athlete_id"]: row for row in program.get("/api/v1/summary").json()["items"]}
    pushed = rows[world.home.athlete.id]
    assert (pushed["week"], pushed["reps"], pushed["met"], pushed["missed"]) == ("2026-04-27", 3, 2, 1)
    assert pushed["lowering_s"] == pytest.approx(8 / 3)
    assert rows[world.home.other_athlete.id]["holds"] == 1
    assert "lowering_s" in program.get("/api/v1/summary?format=csv").text


def test_whoever_follows_changes_holds_what_the_gym_holds(world: World, program: TestClient, coach: TestClient) -> None:
    _measure(world)
    first = program.get("/api/v1/changes").json()
    assert len(first["efforts"]) == 4
    clip = first["efforts"][0]["clip_id"]
    assert program.get(f"/api/v1/changes?since={first['next']}").json()["efforts"] == []
    effort = first["efforts"][0]["id"]
    coach.post(f"/api/v1/clips/{clip}/rulings", json={"ruling": "missed", "effort": effort})
    coach.post(f"/api/v1/clips/{clip}/rulings", json={"ruling": "missing rep", "start": 1, "end": 2})
    second = program.get(f"/api/v1/changes?since={first['next']}").json()
    assert [(each["id"], each["ruling"]) for each in second["efforts"]] == [(effort, "missed")]
    assert len(second["missing"]) == 1
    assert coach.delete(f"/api/v1/clips/{clip}").status_code == 204
    third = program.get(f"/api/v1/changes?since={second['next']}").json()
    assert third["deleted"] == [{"resource": "clip", "resource_id": clip}]
    with world.parts.database.session() as records:
        begin_history(records)
    assert program.get(f"/api/v1/changes?since={third['next']}").status_code == 410


def test_the_document_and_the_files_of_a_clip(world: World, coach: TestClient) -> None:
    clip = world.measured(world.home.athlete)
    document = coach.get(f"/api/v1/clips/{clip.id}/document")
    assert json.loads(document.text)["document"] == "plumbrep.measurement/1"
    assert coach.get(f"/api/v1/clips/{clip.id}/proxy").status_code == 409
    waiting = world.clip(world.home.athlete)
    answer = coach.get(f"/api/v1/clips/{waiting.id}/document")
    assert (answer.status_code, answer.json()["type"]) == (409, "/api/v1/problems/not-ready")

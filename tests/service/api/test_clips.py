from datetime import datetime, timedelta
from pathlib import Path

from fastapi.testclient import TestClient
from sqlalchemy import select

from service.records import Clip, PainReport, SetRow, now
from service.store import ClipFiles
from tests.service.api.world import PLAN, World

ROOT = Path(__file__).parents[3]
CLIP = min((ROOT / "sample_clips").glob("*.mp4"), key=lambda path: path.stat().st_size)


def test_a_small_clip_comes_in_one_piece_and_twice_is_once(world: World, athlete: TestClient) -> None:
    version = world.prescription(world.home.athlete)
    asked = {"prescription": version.prescription_id, "filmed": "2026-05-01T18:30:00+02:00"}
    answers = [athlete.post("/api/v1/clips", files={"file": CLIP.read_bytes()}, data=asked) for _ in range(2)]
    assert [each.status_code for each in answers] == [201, 201]
    first, again = (each.json() for each in answers)
    assert first == again
    assert (first["state"], first["prescription_version_id"]) == ("waiting", version.id)
    assert first["filmed"] == "2026-05-01T16:30:00Z"
    arrived, expires = (datetime.fromisoformat(first[name]) for name in ("arrived", "expires"))
    assert expires - arrived == timedelta(days=90)  # unless the gym or the settings say otherwise
    assert answers[0].headers["location"] == f"/api/v1/clips/{first['id']}"
    assert world.parts.queue.depth().waiting == 1
    assert athlete.get(f"/api/v1/clips/{first['id']}/file").content


def test_a_clip_that_does_not_fit_is_refused(world: World, athlete: TestClient) -> None:
    other = world.prescription(world.home.other_athlete).prescription_id
    for asked in (
        {"prescription": other},
        {"movement": "handwalk"},
        {"movement": "push-up", "prescription": world.prescription(world.home.athlete).prescription_id},
        {"filmed": "2026-05-01T18:30:00"},
        {"athlete": world.home.other_athlete.id},
    ):
        answer = athlete.post("/api/v1/clips", files={"file": b"x"}, data=asked)
        assert answer.status_code in (403, 404, 422), asked
    assert athlete.post("/api/v1/clips", files={"file": b"no clip"}).json()["type"].endswith("bad-input")
    assert athlete.get("/api/v1/clips").json()["items"] == []


def test_clips_are_listed_by_whom_and_how_far(world: World, coach: TestClient, athlete: TestClient) -> None:
    waiting, measured = world.clip(world.home.athlete), world.measured(world.home.other_athlete)
    listed = coach.get("/api/v1/clips").json()["items"]
    assert [each["id"] for each in listed] == [measured.id, waiting.id]
    assert [each["id"] for each in coach.get("/api/v1/clips?state=waiting").json()["items"]] == [waiting.id]
    by = f"/api/v1/clips?athlete={world.home.other_athlete.id}"
    assert [each["id"] for each in coach.get(by).json()["items"]] == [measured.id]
    assert [each["id"] for each in athlete.get("/api/v1/clips").json()["items"]] == [waiting.id]


def test_a_clip_is_measured_again_by_another_prescription(world: World, coach: TestClient) -> None:
    clip, version = world.measured(world.home.athlete), world.prescription(world.home.athlete)
    place = f"/api/v1/clips/{clip.id}/measure"
    told = coach.post(place, json={"prescription": version.prescription_id}).json()
    assert (told["state"], told["prescription_version_id"]) == ("waiting", version.id)
    assert world.parts.queue.depth().waiting == 1
    told = coach.post(place, json={"movement": "row", "hold": True}).json()
    assert (told["prescription_version_id"], told["movement"], told["hold"]) == (None, "row", True)
    assert coach.post(place, json={"movement": "handwalk"}).status_code == 422
    assert world.parts.queue.depth().waiting == 2


def test_an_athlete_deletes_their_own_clip_with_all_that_came_of_it(world: World, athlete: TestClient) -> None:
    clip, other = world.measured(world.home.athlete), world.measured(world.home.other_athlete)
    assert athlete.delete(f"/api/v1/clips/{other.id}").status_code == 404
    assert athlete.delete(f"/api/v1/clips/{clip.id}").status_code == 204
    assert athlete.get(f"/api/v1/clips/{clip.id}").status_code == 404
    assert list(world.parts.store.list(ClipFiles(clip.id).folder)) == []
    with world.parts.database.session() as records:
        assert {row.clip_id for row in records.scalars(select(SetRow))} == {other.id}
        assert [row.id for row in records.scalars(select(Clip))] == [other.id]


def test_an_owner_deletes_an_athlete_and_nobody_themselves(world: World, owner: TestClient) -> None:
    world.measured(world.home.athlete)
    assert owner.delete(f"/api/v1/people/{world.home.owner.id}").status_code == 409
    assert owner.delete(f"/api/v1/people/{world.home.athlete.id}").status_code == 204
    assert owner.get("/api/v1/clips").json()["items"] == []
    assert owner.get(f"/api/v1/people/{world.home.athlete.id}").status_code == 404


def test_what_is_owned_is_told_by_the_records(world: World, coach: TestClient) -> None:
    person = world.home.athlete
    version = world.prescription(person, PLAN.replace('tempo = "3-0-1-0"', "hands_raised_cm = 40"))
    asked = {"goal": "push-up", "person": person.id}
    days = [now() - timedelta(days=n) for n in (3, 2)]
    clips = [world.measured(person, version=version, filmed=day) for day in days]
    missed = coach.post("/api/v1/path", json=asked)
    assert "nothing is owned" in missed.json()["detail"]
    for clip in clips:  # the coach lets the third rep of each pass
        third = coach.get(f"/api/v1/clips/{clip.id}/sets").json()["items"][0]["efforts"][2]["id"]
        coach.post(f"/api/v1/clips/{clip.id}/rulings", json={"ruling": "met", "effort": third})
    told = coach.post("/api/v1/path", json=asked).json()
    assert told["steps"][0]["prescription"]["hands_raised_cm"] == 40
    with world.parts.database.session() as records:
        records.add(PainReport(gym_id=person.gym_id, athlete_id=person.id, text="wrist"))
    assert coach.post("/api/v1/path", json=asked).json()["halted"]


def test_the_gym_says_how_long_clips_are_kept(owner: TestClient, coach: TestClient) -> None:
    tag = coach.get("/api/v1/gym").headers["etag"]
    asked = {"keep_clips_days": 30, "time_zone": "Europe/Lisbon"}
    assert coach.patch("/api/v1/gym", json=asked, headers={"If-Match": tag}).status_code == 403
    assert owner.patch("/api/v1/gym", json=asked, headers={"If-Match": tag}).json()["keep_clips_days"] == 30
    assert owner.patch("/api/v1/gym", json={"time_zone": "Mars"}, headers={"If-Match": "*"}).status_code == 422
    assert owner.patch("/api/v1/gym", json={"name": None}, headers={"If-Match": "*"}).status_code == 422
    assert owner.patch("/api/v1/gym", json={"keep_clips_days": None}, headers={"If-Match": "*"}).status_code == 200

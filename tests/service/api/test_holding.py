"""What a coach is to rule on blindly: nothing that a coach can ask for hangs on the machine's verdict."""

from collections.abc import Mapping

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import select, update

from models.document import Document
from service.api.sampling import is_drawn
from service.records import CheckRow, Clip, Effort, Measurement, SetRow
from service.records.keeping import keep_measurement
from tests.by_hand import push_ups
from tests.service.api.world import World


@pytest.fixture
def blind(world: World) -> Effort:
    """A rep that was met and that is drawn, whatever its verdict; in the last clip of some."""
    version = world.prescription(world.home.athlete)
    while True:
        clip = world.measured(world.home.athlete, version=version)
        with world.parts.database.session() as records:
            for effort in records.scalars(select(Effort).where(Effort.clip_id == clip.id, Effort.verdict == "met")):
                if is_drawn(effort):
                    return effort


def _say_missed(world: World, effort: Effort) -> None:
    """Let the machine have said otherwise, wherever it is kept."""
    with world.parts.database.session() as records:
        row = records.get_one(SetRow, effort.set_id)
        found = {"verdict": "missed", "why": "It was not.", "p": 0.0}
        records.execute(update(Effort).where(Effort.id == effort.id).values(verdict="missed"))
        records.execute(update(CheckRow).where(CheckRow.effort_id == effort.id).values(found))
        records.execute(update(CheckRow).where(CheckRow.set_id == row.id, CheckRow.effort_id.is_(None)).values(found))
        row.verdict = "met" if row.verdict == "missed" else "missed"
        made = records.get_one(Measurement, row.measurement_id)
        made.document = _saying_missed(Document.model_validate_json(made.document), row, effort.n).model_dump_json()


def _saying_missed(document: Document, row: SetRow, n: int) -> Document:
    (only,) = document.sets
    missed = {
        "verdict": "missed",
        "checks": tuple(check.model_copy(update={"verdict": "missed"}) for check in only.reps[n - 1].checks or ()),
    }
    reps = tuple(rep.model_copy(update=missed) if rep.n == n else rep for rep in only.reps)
    summary = only.summary.model_copy(update={"first_missed": n})
    changed = only.model_copy(update={"reps": reps, "summary": summary, "verdict": row.verdict, "checks": ()})
    return document.model_copy(update={"sets": (changed,)})


def _all_answers(client: TestClient, effort: Effort) -> Mapping[str, str]:
    """Whatever tells of results."""
    lists = ("/efforts?limit=1000", "/tempo?limit=1000", "/summary?")
    filters = ("", "&verdict=met", "&verdict=missed", "&verdict=none")
    asked = [f"/api/v1{each}{which}{form}" for each in lists for which in filters for form in ("", "&format=csv")]
    asked += ["/api/v1/changes?limit=1000", "/api/v1/review?limit=200", "/api/v1/agreement"]
    asked += [f"/api/v1/clips/{effort.clip_id}{part}" for part in ("", "/sets", "/document", "/rulings")]
    asked += [f"/api/v1/sets/{effort.set_id}", f"/api/v1/efforts/{effort.id}"]
    pages = ("/review", f"/review/{effort.set_id}?effort={effort.id}", f"/athletes/{effort.athlete_id}")
    answers = {place: client.get(place) for place in (*asked, *pages)}
    return {place: f"{answer.status_code} {answer.text}" for place, answer in answers.items()}


@pytest.mark.parametrize("role", ["coach", "owner"])
def test_nothing_that_a_coach_is_told_hangs_on_a_verdict_that_is_held_back(
    world: World, blind: Effort, role: str
) -> None:
    client = world.client(getattr(world.home, role))
    before = _all_answers(client, blind)
    assert not {place: answer for place, answer in before.items() if not answer.startswith("200")}
    _say_missed(world, blind)
    after = _all_answers(client, blind)
    assert [place for place in before if before[place] != after[place]] == []


def test_a_program_tool_sees_every_verdict(world: World, blind: Effort) -> None:
    program = world.program(world.home, "read:tempo", "read:clips")
    before = _all_answers(program, blind)
    _say_missed(world, blind)
    after = _all_answers(program, blind)
    told = [place for place in before if before[place] != after[place]]
    for way in ("/efforts?", "/tempo?", "/summary?", "/changes?", "/sets", "/document", f"/efforts/{blind.id}"):
        assert any(way in place for place in told), way


def test_once_ruled_on_all_is_told(blind: Effort, coach: TestClient) -> None:
    place = f"/api/v1/clips/{blind.clip_id}"
    hidden = coach.get(f"{place}/document").json()["sets"][0]
    assert "verdict" not in hidden["reps"][blind.n - 1]
    assert "verdict" not in hidden
    assert "verdict" in hidden["reps"][2], "another rep of the set, which is not drawn"
    assert coach.get(f"{place}/sets").json()["items"][0]["verdict"] is None
    coach.post(f"{place}/rulings", json={"ruling": "met", "effort": blind.id})
    shown = coach.get(f"{place}/document").json()["sets"][0]
    assert (shown["reps"][blind.n - 1]["verdict"], shown["verdict"], shown["summary"]["first_missed"]) == (
        "met",
        "missed",
        3,
    )
    assert coach.get(f"{place}/sets").json()["items"][0]["verdict"] == "missed"


def test_the_measurement_before_does_not_give_it_away(world: World, blind: Effort, coach: TestClient) -> None:
    later = push_ups()
    later = later.model_copy(update={"made_by": later.made_by.model_copy(update={"program": "0.9"})})
    with world.parts.database.session() as records:
        keep_measurement(records, records.get_one(Clip, blind.clip_id), None, later)
    for n in (0, 1):
        earlier = coach.get(f"/api/v1/efforts/{blind.id + n}").json()
        assert (earlier["current"], earlier["verdict"], earlier["checks"]) == (False, None, [])
    gone = [each for each in coach.get("/api/v1/changes?limit=1000").json()["efforts"] if not each["current"]]
    assert {each["verdict"] for each in gone} == {None}

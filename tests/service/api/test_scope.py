"""Nothing of one gym is seen or touched from another: every route is walked with another gym's identifiers."""

from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.access.actors import OPERATOR, SCOPES
from service.access.keys import make_key
from service.access.links import make_link
from service.records import Consent, Effort, Note, PainReport, Ruling, Upload, Webhook, now
from tests.service.api.world import PLAN, World

PREFIX = "/api/v1"
BODIES: dict[tuple[str, str], Any] = {
    ("PATCH", "/people/{person_id}"): {"name": "x"},
    ("POST", "/people/{person_id}/links"): {},
    ("POST", "/people/{person_id}/consents"): {"given_by": "athlete"},
    ("POST", "/people/{person_id}/pain"): {"text": "x"},
    ("PUT", "/prescriptions/{prescription_id}"): {"text": PLAN},
    ("POST", "/clips/{clip_id}/measure"): {},
    ("POST", "/clips/{clip_id}/rulings"): {"ruling": "film again"},
    ("POST", "/efforts/{effort_id}/corrections"): {"boundaries": {"lowering.start": 1.1}},
}
"""What a request needs to get as far as asking whose it is."""
HEADERS = {
    "If-Match": "*",
    "Tus-Resumable": "1.0.0",
    "Upload-Offset": "0",
    "Content-Type": "application/offset+octet-stream",
}
CATALOGUE = {"/movements/{name}", "/movements/{name}/use", "/problems/{kind}"}
"""Names that belong to no gym."""


@pytest.fixture
def foreign(world: World) -> dict[str, Any]:
    """Identifiers of the other gym, by the names that paths have for them."""
    gym = world.away
    version = world.prescription(gym.athlete)
    clip = world.measured(gym.athlete, version=version)
    with world.parts.database.session() as records:
        key, _ = make_key(records, gym.id, "theirs", ["read:tempo"])
        link, _ = make_link(records, world.settings, gym.athlete, OPERATOR)
        of_athlete = {"gym_id": gym.id, "athlete_id": gym.athlete.id}
        pain, consent = PainReport(**of_athlete, text="theirs"), Consent(**of_athlete, given_by="athlete")
        upload = Upload(**of_athlete, length=10, meta={}, expires=now())
        hook = Webhook(gym_id=gym.id, url="https://theirs.example", secret="", events=[])
        note = Note(**of_athlete, text="theirs")
        ruling = Ruling(gym_id=gym.id, clip_id=clip.id, ruling="met", changed=1)
        records.add_all([pain, consent, upload, hook, note, ruling])
        records.flush()
        effort = records.query(Effort).first()
        assert effort is not None
        return {
            "person_id": gym.athlete.id,
            "prescription_id": version.prescription_id,
            "clip_id": clip.id,
            "link_id": link.id,
            "key_id": key.id,
            "pain_id": pain.id,
            "consent_id": consent.id,
            "upload_id": upload.id,
            "webhook_id": hook.id,
            "effort_id": effort.id,
            "set_id": effort.set_id,
            "note_id": note.id,
            "ruling_id": ruling.id,
        }


def _operations(world: World) -> Iterator[tuple[str, str]]:
    for path, operations in world.app.openapi()["paths"].items():
        for method in operations:
            yield method.upper(), path.removeprefix(PREFIX)


def test_every_route_answers_404_for_another_gyms_things(world: World, foreign: dict[str, Any]) -> None:
    clients = [world.client(world.home.owner), world.client(world.home.athlete), world.program(world.home, *SCOPES)]
    walked = 0
    for method, path in _operations(world):
        if "{" not in path or path in CATALOGUE:
            continue
        place = PREFIX + path.format(**foreign)
        for client in clients:
            asked = BODIES.get((method, path))
            content = {"json": asked} if asked is not None else {"content": b""}
            headers = {name: value for name, value in HEADERS.items() if asked is None or name != "Content-Type"}
            answer = client.request(method, place, headers=headers, **content)
            assert answer.status_code == 404, f"{method} {path}: {answer.status_code} {answer.text}"
            walked += 1
    assert walked > 60


def test_no_list_shows_another_gyms_things(world: World, foreign: dict[str, Any]) -> None:
    names = [str(value) for name, value in foreign.items() if name not in ("effort_id", "set_id")]
    for client in (world.client(world.home.owner), world.program(world.home, *SCOPES)):
        for method, path in _operations(world):
            if method == "GET" and "{" not in path:
                answer = client.get(PREFIX + path)
                assert answer.status_code in (200, 403), f"{path}: {answer.text}"
                assert not [name for name in names if name in answer.text], path
                assert "theirs" not in answer.text or path == "/openapi.json"


def test_nothing_is_hung_on_another_gyms_things(world: World, foreign: dict[str, Any]) -> None:
    coach, person, clip = world.client(world.home.coach), foreign["person_id"], foreign["clip_id"]
    asked: list[tuple[str, dict[str, Any]]] = [
        ("/prescriptions", {"athlete": person, "text": PLAN}),
        ("/notes", {"athlete": person, "text": "x"}),
        ("/notes", {"clip": clip, "text": "x"}),
        ("/notes", {"effort": foreign["effort_id"], "text": "x"}),
        (f"/people/{world.home.athlete.id}/pain", {"text": "x", "clip": clip}),
        ("/demand", {"what": "push-up", "person": person}),
        ("/demand", {"what": "push-up", "clip": clip}),
        ("/path", {"goal": "push-up", "person": person}),
    ]
    for path, body in asked:
        assert coach.post(PREFIX + path, json=body).status_code in (404, 422), path
    own = world.measured(world.home.athlete)
    body = {"prescription": foreign["prescription_id"]}
    assert coach.post(f"{PREFIX}/clips/{own.id}/measure", json=body).status_code == 422
    for name in ("efforts", "tempo", "summary"):
        assert clip not in coach.get(f"{PREFIX}/{name}?athlete={person}").text


def test_nothing_is_answered_to_nobody(world: World, foreign: dict[str, Any]) -> None:
    open_ = {("POST", "/session"), ("POST", "/link"), ("POST", "/invitation"), ("OPTIONS", "/uploads")}
    client: TestClient = world.client()
    for method, path in _operations(world):
        if (method, path) in open_ or path.startswith(("/problems", "/openapi")):
            continue
        place = PREFIX + path.format(**foreign, name="push-up")
        asked = BODIES.get((method, path), {})
        answer = client.request(method, place, json=asked, headers={"If-Match": "*", "Tus-Resumable": "1.0.0"})
        assert answer.status_code in (401, 422, 415), f"{method} {path}: {answer.status_code}"

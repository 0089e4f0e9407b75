import base64
import hashlib
import socket
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import httpx2
import pytest
from fastapi.testclient import TestClient
from sqlalchemy import select, update
from tusclient.client import TusClient

from service.intake.uploads import UploadFiles
from service.records import Clip, Upload, now
from tests.service.api.serving import serving
from tests.service.api.world import World

TUS = {"Tus-Resumable": "1.0.0"}
SEND = {**TUS, "Content-Type": "application/offset+octet-stream"}
ROOT = Path(__file__).parents[3]
CLIP = min((ROOT / "sample_clips").glob("*.mp4"), key=lambda path: path.stat().st_size)


def _metadata(**pairs: str) -> dict[str, str]:
    return {
        "Upload-Metadata": ",".join(
            f"{name} {base64.b64encode(text.encode()).decode()}" for name, text in pairs.items()
        )
    }


def _begin(client: TestClient, length: int, **pairs: str) -> str:
    answer = client.post("/api/v1/uploads", headers={**TUS, "Upload-Length": str(length), **_metadata(**pairs)})
    assert answer.status_code == 201, answer.text
    return str(answer.headers["location"])


def _patch(client: TestClient, place: str, offset: int, piece: bytes, **headers: str) -> tuple[int, dict[str, str]]:
    answer = client.patch(place, content=piece, headers={**SEND, "Upload-Offset": str(offset), **headers})
    return answer.status_code, dict(answer.headers)


def _offset(client: TestClient, place: str) -> int:
    return int(client.head(place, headers=TUS).headers["upload-offset"])


def test_a_clip_comes_in_pieces_and_is_queued(world: World, athlete: TestClient) -> None:
    data = CLIP.read_bytes()
    place = _begin(athlete, len(data), filename="secret name.mp4", movement="push-up")
    half = len(data) // 2
    assert _patch(athlete, place, 0, data[:half])[0] == 204
    assert _offset(athlete, place) == half
    status, headers = _patch(athlete, place, half, data[half:])
    assert (status, headers["upload-offset"]) == (204, str(len(data)))
    clip = athlete.get(f"/api/v1/clips/{headers['plumbrep-clip']}").json()
    assert (clip["state"], clip["movement"], clip["athlete_id"]) == ("waiting", "push-up", world.home.athlete.id)
    assert athlete.head(place, headers=TUS).headers["plumbrep-clip"] == clip["id"]
    assert world.parts.queue.depth().waiting == 1
    with world.parts.database.session() as records:
        row = records.scalars(select(Upload)).one()
        assert row.meta == {"movement": "push-up", "athlete": world.home.athlete.id}
        assert records.get_one(Clip, clip["id"]).source_sha256 == hashlib.sha256(data).hexdigest()
    assert not list(UploadFiles(world.settings).folder.iterdir())


def test_the_wrong_offset_is_refused_with_the_right_one(athlete: TestClient) -> None:
    place = _begin(athlete, 100)
    assert _patch(athlete, place, 0, b"a" * 10)[0] == 204
    status, headers = _patch(athlete, place, 5, b"b" * 10)
    assert (status, headers["upload-offset"]) == (409, "10")
    assert _offset(athlete, place) == 10


def test_more_than_announced_is_refused(athlete: TestClient) -> None:
    place = _begin(athlete, 100)
    assert _patch(athlete, place, 0, b"a" * 101)[0] == 413
    assert _offset(athlete, place) == 0


def test_a_wrong_checksum_takes_back_what_came(athlete: TestClient) -> None:
    place = _begin(athlete, 100)
    right = base64.b64encode(hashlib.sha256(b"a" * 10).digest()).decode()
    assert _patch(athlete, place, 0, b"a" * 10, **{"Upload-Checksum": f"sha256 {right}"})[0] == 204
    status, headers = _patch(athlete, place, 10, b"b" * 10, **{"Upload-Checksum": f"sha256 {right}"})
    assert (status, headers["tus-resumable"]) == (460, "1.0.0")
    assert _offset(athlete, place) == 10
    assert _patch(athlete, place, 10, b"b", **{"Upload-Checksum": "md5 aaaa"})[0] == 400


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Upload-Length": "10"}, 412),
        ({**TUS, "Upload-Length": str(501 * 2**20)}, 413),
        ({**TUS}, 400),
        ({**TUS, "Upload-Length": "0"}, 400),
        ({**TUS, "Upload-Length": "x"}, 422),
        ({**TUS, "Upload-Length": "10", "Upload-Metadata": "movement !"}, 400),
        ({**TUS, "Upload-Length": "10", **_metadata(movement="handwalk")}, 422),
        ({**TUS, "Upload-Length": "10", **_metadata(hold="perhaps")}, 422),
        ({**TUS, "Upload-Length": "10", **_metadata(filmed="2026-05-01T10:00:00")}, 422),
        ({**TUS, "Upload-Length": "10", **_metadata(prescription="none")}, 422),
    ],
)
def test_what_cannot_become_a_clip_is_not_begun(
    world: World, athlete: TestClient, headers: dict[str, str], status: int
) -> None:
    answer = athlete.post("/api/v1/uploads", headers=headers)
    assert (answer.status_code, answer.headers["tus-resumable"]) == (status, "1.0.0")
    with world.parts.database.session() as records:
        assert list(records.scalars(select(Upload))) == []


def test_only_bytes_are_taken(athlete: TestClient) -> None:
    place = _begin(athlete, 10)
    answer = athlete.patch(place, content=b"a", headers={**TUS, "Upload-Offset": "0", "Content-Type": "text/plain"})
    assert answer.status_code == 415
    assert athlete.patch(place, content=b"a", headers=SEND).status_code == 400


def test_abilities_are_told(athlete: TestClient) -> None:
    told = athlete.options("/api/v1/uploads").headers
    assert (told["tus-version"], told["tus-max-size"]) == ("1.0.0", str(500 * 2**20))


def test_two_cannot_write_at_once(world: World, athlete: TestClient) -> None:
    place = _begin(athlete, 10)
    with UploadFiles(world.settings).alone(place.rpartition("/")[2], 10):
        assert _patch(athlete, place, 0, b"a" * 10)[0] == 423
        assert athlete.delete(place, headers=TUS).status_code == 423
    assert _offset(athlete, place) == 0


def test_what_is_no_clip_is_refused_and_forgotten(world: World, athlete: TestClient) -> None:
    place = _begin(athlete, 12)
    answer = athlete.patch(place, content=b"not a clip..", headers={**SEND, "Upload-Offset": "0"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/api/v1/problems/bad-input")
    assert athlete.head(place, headers=TUS).status_code == 404
    assert not list(UploadFiles(world.settings).folder.iterdir())


def test_what_was_given_up_is_gone(athlete: TestClient) -> None:
    place = _begin(athlete, 10)
    assert athlete.delete(place, headers=TUS).status_code == 204
    assert athlete.head(place, headers=TUS).status_code == 404


def test_what_took_too_long_is_gone(world: World, athlete: TestClient) -> None:
    place = _begin(athlete, 10)
    with world.parts.database.session() as records:
        records.execute(update(Upload).values(expires=now()))
    assert athlete.head(place, headers=TUS).status_code == 410
    assert _patch(athlete, place, 0, b"a")[0] == 410


def test_one_athletes_upload_is_hidden_from_others(world: World, athlete: TestClient) -> None:
    place = _begin(athlete, 10)
    for person in (world.home.other_athlete, world.away.coach):
        assert world.client(person).head(place, headers=TUS).status_code == 404
        assert _patch(world.client(person), place, 0, b"a")[0] == 404


def test_a_days_quota_holds_for_what_is_begun(world: World, coach: TestClient) -> None:
    made = coach.post(f"/api/v1/people/{world.home.athlete.id}/links", json={"clips_a_day": 1}).json()
    browser = world.client()
    browser.post("/api/v1/link", json={"token": made["address"].partition("#")[2]})
    data = CLIP.read_bytes()
    place = _begin(browser, len(data))
    more = browser.post("/api/v1/uploads", headers={**TUS, "Upload-Length": "10"})
    assert (more.status_code, more.headers["retry-after"]) == (429, "3600")
    assert _patch(browser, place, 0, data)[0] == 204
    assert browser.post("/api/v1/uploads", headers={**TUS, "Upload-Length": "10"}).status_code == 429


def test_a_minor_needs_a_guardians_consent(world: World, owner: TestClient, athlete: TestClient) -> None:
    person = f"/api/v1/people/{world.home.athlete.id}"
    owner.patch(person, json={"born": f"{now().year - 12}-01-01"}, headers={"If-Match": "*"})
    refused = athlete.post("/api/v1/uploads", headers={**TUS, "Upload-Length": "10"})
    assert (refused.status_code, refused.json()["type"]) == (409, "/api/v1/problems/no-consent")
    consent = owner.post(f"{person}/consents", json={"given_by": "guardian", "guardian": "Ada Holt"}).json()
    _begin(athlete, 10)
    owner.delete(f"/api/v1/consents/{consent['id']}")
    assert athlete.post("/api/v1/uploads", headers={**TUS, "Upload-Length": "10"}).status_code == 409


def test_a_clip_whose_last_step_was_lost_is_taken_in_when_asked_for(world: World, athlete: TestClient) -> None:
    data = CLIP.read_bytes()
    place = _begin(athlete, len(data))
    UploadFiles(world.settings).path(place.rpartition("/")[2]).write_bytes(data)
    told = athlete.head(place, headers=TUS).headers
    assert athlete.get(f"/api/v1/clips/{told['plumbrep-clip']}").status_code == 200


def test_a_sensor_track_comes_beside_it(athlete: TestClient) -> None:
    data = CLIP.read_bytes()
    place = _begin(athlete, len(data))
    track = {"document": "plumbrep.sensor/1", "samples": [{"time": 0.0, "roll": 1.0, "pitch": 2.0}]}
    assert athlete.put(f"{place}/sensor", json={"document": "other"}).status_code == 422
    assert athlete.put(f"{place}/sensor", json=track).status_code == 204
    clip = _patch(athlete, place, 0, data)[1]["plumbrep-clip"]
    assert athlete.get(f"/api/v1/clips/{clip}").json()["sensor"] is True


def test_a_killed_server_loses_nothing_and_adds_nothing(world: World, athlete: TestClient) -> None:
    data = CLIP.read_bytes()
    place = _begin(athlete, len(data))
    path = UploadFiles(world.settings).path(place.rpartition("/")[2])
    with serving(world.settings.data) as server, _half_sent(athlete, server.url, place, data):
        _wait_until_written(path)
        server.kill()
    there = path.stat().st_size
    assert 0 < there < len(data)
    with serving(world.settings.data) as server, CLIP.open("rb") as file:  # a common client goes on
        client = TusClient(f"{server.url}/api/v1/uploads", headers=_browser(athlete, server.url))
        uploader = client.uploader(file_stream=file, url=f"{server.url}{place}", chunk_size=10**6)
        assert uploader.offset == there
        uploader.upload()
    clip = athlete.get("/api/v1/clips").json()["items"][0]["id"]
    with world.parts.database.session() as records:
        assert records.get_one(Clip, clip).source_sha256 == hashlib.sha256(data).hexdigest()


def test_a_lost_connection_keeps_what_came(world: World, athlete: TestClient) -> None:
    data = CLIP.read_bytes()
    place = _begin(athlete, len(data))
    path = UploadFiles(world.settings).path(place.rpartition("/")[2])
    with serving(world.settings.data) as server:
        with _half_sent(athlete, server.url, place, data):
            _wait_until_written(path)
        with httpx2.Client(headers=_browser(athlete, server.url)) as client:
            there = _wait_until_free(client, f"{server.url}{place}")
            rest = client.patch(
                f"{server.url}{place}", content=data[there:], headers={**SEND, "Upload-Offset": str(there)}
            )
    assert 0 < there < len(data)
    assert (rest.status_code, "plumbrep-clip" in rest.headers) == (204, True)


def _browser(client: TestClient, url: str) -> dict[str, str]:
    return {"Cookie": "; ".join(f"{name}={value}" for name, value in client.cookies.items()), "Origin": url}


@contextmanager
def _half_sent(client: TestClient, url: str, place: str, data: bytes) -> Iterator[None]:
    """A PATCH of everything of which only half has been sent."""
    parts = urlsplit(url)
    headers = {"Host": parts.netloc, **_browser(client, url), **SEND, "Upload-Offset": "0", "Content-Length": len(data)}
    head = "\r\n".join([f"PATCH {place} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items()), "", ""])
    with socket.create_connection((parts.hostname or "", parts.port or 0)) as connection:
        connection.sendall(head.encode() + data[: len(data) // 2])
        yield


def _wait_until_written(path: Path) -> None:
    until = time.monotonic() + 20
    while time.monotonic() < until and path.stat().st_size == 0:
        time.sleep(0.02)


def _wait_until_free(client: httpx2.Client, place: str) -> int:
    """Where it can go on, once the server has noticed that nobody sends any more."""
    until = time.monotonic() + 20
    while time.monotonic() < until:
        offset = int(client.head(place, headers=TUS).headers["upload-offset"])
        if client.patch(place, content=b"", headers={**SEND, "Upload-Offset": str(offset)}).status_code == 204:
            return offset
        time.sleep(0.05)
    raise AssertionError("the upload stayed busy")

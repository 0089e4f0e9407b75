import json
from collections.abc import Iterator
from typing import Any

import httpx2
import pytest
from fastapi.testclient import TestClient
from sqlalchemy import update

from service.api.problems import Problem
from service.api.ranges import part_of
from service.records import Clip, now
from tests.service.api.serving import serving
from tests.service.api.world import World

CONTENT = bytes(range(256)) * 10


@pytest.mark.parametrize(
    ("header", "part"),
    [
        (None, None),
        ("bytes=0-9", (0, 10)),
        ("bytes=2550-", (2550, 2560)),
        ("bytes=-10", (2550, 2560)),
        ("bytes=-9999", (0, 2560)),
        ("bytes=2550-9999", (2550, 2560)),
        ("bytes=0-1,5-6", None),
        ("bytes=9-3", None),
        ("bytes=-", None),
        ("lines=1-2", None),
    ],
)
def test_ranges_as_rfc_9110_has_them(header: str | None, part: tuple[int, int] | None) -> None:
    assert part_of(header, 2560) == part


@pytest.mark.parametrize("header", ["bytes=2560-", "bytes=9999-10000", "bytes=-0"])
def test_what_lies_beyond_is_refused(header: str) -> None:
    with pytest.raises(Problem) as refused:
        part_of(header, 2560)
    assert refused.value.status_code == 416


def test_a_clip_plays_from_anywhere(world: World, athlete: TestClient) -> None:
    clip = world.clip(world.home.athlete, content=CONTENT)
    place = f"/api/v1/clips/{clip.id}/file"
    whole = athlete.get(place)
    assert (whole.content, whole.headers["accept-ranges"]) == (CONTENT, "bytes")
    assert whole.headers["content-type"] == "video/mp4"
    part = athlete.get(place, headers={"Range": "bytes=100-199"})
    assert (part.status_code, part.content) == (206, CONTENT[100:200])
    assert part.headers["content-range"] == f"bytes 100-199/{len(CONTENT)}"
    assert athlete.get(place, headers={"Range": "bytes=5000-"}).headers["content-range"] == f"bytes */{len(CONTENT)}"
    tag = whole.headers["etag"]
    assert athlete.get(place, headers={"If-None-Match": tag}).status_code == 304
    assert athlete.get(place, headers={"Range": "bytes=0-1", "If-Range": tag}).status_code == 206
    assert athlete.get(place, headers={"Range": "bytes=0-1", "If-Range": '"other"'}).status_code == 200
    assert athlete.head(place).headers["content-length"] == str(len(CONTENT))
    assert world.client(world.home.other_athlete).get(place).status_code == 404


def test_files_whose_time_is_over_are_gone(world: World, athlete: TestClient) -> None:
    clip = world.clip(world.home.athlete)
    with world.parts.database.session() as records:
        records.get_one(Clip, clip.id).files_gone = now()
    assert athlete.get(f"/api/v1/clips/{clip.id}/file").status_code == 410
    assert athlete.post(f"/api/v1/clips/{clip.id}/measure", json={}).status_code == 410


def test_events_tell_how_far_a_clip_is_until_it_is_done(world: World, athlete: TestClient) -> None:
    clip = world.clip(world.home.athlete)
    headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in athlete.cookies.items())}
    with serving(world.settings.data) as server, httpx2.Client(base_url=server.url, headers=headers) as client:
        place = f"/api/v1/clips/{clip.id}/events"
        with client.stream("GET", place) as answer:
            assert answer.headers["content-type"].startswith("text/event-stream")
            events = _events(answer)
            assert next(events) == ("progress", "waiting", 0.0)
            _set(world, clip.id, state="measuring", progress=0.4)
            assert next(events) == ("progress", "measuring", 0.4)
        with client.stream("GET", place) as answer:  # the connection was lost
            events = _events(answer)
            assert next(events) == ("progress", "measuring", 0.4)
            _set(world, clip.id, state="measured", progress=1.0)
            assert list(events) == [("end", "measured", 1.0)]
        assert client.get("/api/v1/clips/none/events").status_code == 404
        part = client.get(f"/api/v1/clips/{clip.id}/file", headers={"Range": "bytes=2-3"})
        assert (part.status_code, part.content) == (206, b"cl")


def _set(world: World, clip_id: str, **values: Any) -> None:
    with world.parts.database.session() as records:
        records.execute(update(Clip).where(Clip.id == clip_id).values(values))


def _events(answer: httpx2.Response) -> Iterator[tuple[str, str, float]]:
    name = ""
    for line in answer.iter_lines():
        if line.startswith("event:"):
            name = line.removeprefix("event:").strip()
        if line.startswith("data:"):
            told = json.loads(line.removeprefix("data:"))
            yield name, told["state"], told["progress"]

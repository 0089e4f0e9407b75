"""docs/api.md: its programs are run against a real server, its tables are those of the code."""

import re
import time
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.access.actors import SCOPES
from service.access.keys import make_key
from service.api.problems import KINDS, PLACE
from service.hooks.announce import EVENTS
from service.hooks.signature import REPLAY_SECONDS, sign
from tests.service.api.serving import ROOT, serving
from tests.service.api.world import World

TEXT = (ROOT / "docs" / "api.md").read_text(encoding="utf-8")


def program(name: str) -> Any:
    """A function that the page shows."""
    (code,) = [block for block in re.findall(r"```python\n(.*?)```", TEXT, re.DOTALL) if f"def {name}(" in block]
    there: dict[str, Any] = {}
    exec(code, there)  # noqa: S102 -- our own page
    return there[name]


def rows(heading: str) -> list[list[str]]:
    """The cells of the table under a heading row."""
    lines = TEXT[TEXT.index(heading) :].split("\n\n", 1)[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_the_tables_are_those_of_the_code() -> None:
    assert {row[0].strip("`") for row in rows("| scope |")} == SCOPES
    assert {name for row in rows("| event |") for name in re.findall(r"`([a-z.]+)`", row[0])} == EVENTS
    kinds = [[f"`{name}`", str(status), meaning] for name, (status, meaning) in KINDS.items()]
    assert rows(f"| type `{PLACE}/...` |") == kinds


def test_what_the_page_calls_is_there(world: World) -> None:
    paths = world.app.openapi()["paths"]
    known = {(method.upper(), path) for path, methods in paths.items() for method in methods}
    called = re.findall(r"`(GET|POST|PUT|PATCH|DELETE) (/[^`?]*)`", TEXT)
    assert len(called) > 10
    shapes = {(method, re.sub(r"\{\w+\}", "{id}", path.removeprefix("/api/v1"))) for method, path in known}
    assert [each for each in called if each not in shapes] == []


@pytest.mark.parametrize(
    ("late", "body", "secret", "ours"),
    [
        (0, b'{"id":"a"}', "phs_example", True),
        (REPLAY_SECONDS + 5, b'{"id":"a"}', "phs_example", False),
        (-REPLAY_SECONDS - 5, b'{"id":"a"}', "phs_example", False),
        (0, b'{"id":"b"}', "phs_example", False),
        (0, b'{"id":"a"}', "phs_other", False),
    ],
)
def test_a_message_is_checked_as_the_page_shows(late: int, body: bytes, secret: str, ours: bool) -> None:
    sent = int(time.time()) - late
    signature = sign("phs_example", sent, b'{"id":"a"}')
    headers = {"Plumbrep-Time": str(sent), "Plumbrep-Signature": f"v2=later,{signature}"}
    assert program("is_ours")(secret, headers, body) is ours


def test_the_signature_on_the_page_is_right() -> None:
    signature = sign("phs_example", 1_700_000_000, b'{"id":"a"}')
    assert f"Plumbrep-Signature: {signature}\n" in TEXT


def test_a_gym_is_followed_as_the_page_shows(world: World, coach: TestClient) -> None:
    first, second = (world.measured(world.home.athlete) for _ in range(2))
    with world.parts.database.session() as records:
        _, key = make_key(records, world.home.id, "planner", ["read:tempo"])
    store: dict[Any, Any] = {}
    follow = program("follow")
    with serving(world.settings.data) as server:
        since = follow(server.url, key, None, store)
        assert sorted(store) == [1, 2, 3, 4, 5, 6]
        assert {row["clip_id"] for row in store.values()} == {first.id, second.id}
        ruled = [
            coach.post(f"/api/v1/clips/{first.id}/rulings", json=asked).json()
            for asked in ({"ruling": "missed", "effort": 1}, {"ruling": "missing rep", "start": 0.1, "end": 0.5})
        ]
        since = follow(server.url, key, since, store)
        assert (store[1]["ruling"], len(store)) == ("missed", 7)
        for each in ruled:
            assert coach.delete(f"/api/v1/rulings/{each['id']}").status_code == 204
        assert coach.delete(f"/api/v1/clips/{second.id}").status_code == 204
        follow(server.url, key, since, store)
    assert (sorted(store), store[1]["ruling"]) == ([1, 2, 3], None)

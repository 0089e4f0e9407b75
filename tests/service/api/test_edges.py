"""What is the same for every route: headers, hosts, sizes, methods, problems."""

from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from fastapi.testclient import TestClient
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from service.api.shapes.common import Asked, Given
from tests.service.api.world import HERE, World


def test_the_browser_is_told_to_load_frame_and_guess_nothing(coach: TestClient) -> None:
    for answer in (coach.get("/api/v1/people"), coach.get("/api/v1/nothing"), coach.post("/api/v1/people", json={})):
        assert {"default-src 'none'", "frame-ancestors 'none'"} <= set(
            answer.headers["content-security-policy"].split("; ")
        )
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert "no-store" in answer.headers["cache-control"]
        assert "strict-transport-security" not in answer.headers


def test_over_tls_browsers_are_told_to_stay_there(empty_data: Path, tmp_path: Path) -> None:
    world = World(copytree(empty_data, tmp_path / "tls"), public_url="https://plumbrep.example", behind_proxy=True)
    client = TestClient(world.app, "https://plumbrep.example")
    assert "max-age=31536000" in client.get("/api/v1/session").headers["strict-transport-security"]
    world.close()


@pytest.mark.parametrize(
    ("host", "status"),
    [("127.0.0.1:8080", 401), ("localhost", 401), ("elsewhere.example", 421), ("127.0.0.1.elsewhere.example:80", 421)],
)
def test_it_answers_under_its_own_name_only(world: World, host: str, status: int) -> None:
    answer = world.client().get("/api/v1/session", headers={"Host": host})
    assert (answer.status_code, answer.headers["content-type"]) == (status, "application/problem+json")


def test_every_error_is_a_problem(coach: TestClient) -> None:
    found = {
        404: coach.get("/api/v1/nothing"),
        405: coach.delete("/api/v1/people"),
        413: coach.post("/api/v1/notes", json={"text": "x" * (1 << 20)}),
        422: coach.post("/api/v1/notes", content=b"{", headers={"Content-Type": "application/json"}),
    }
    for status, answer in found.items():
        told = answer.json()
        assert (answer.status_code, answer.headers["content-type"]) == (status, "application/problem+json")
        assert (told["status"], bool(told["title"]), bool(told["type"])) == (status, True, True)
    assert found[405].headers["allow"]


def test_what_comes_without_its_length_is_limited_too(coach: TestClient) -> None:
    pieces = (b"x" * 65536 for _ in range(40))
    answer = coach.post("/api/v1/notes", content=pieces, headers={"Content-Type": "application/json"})
    assert (answer.status_code, answer.headers["content-type"]) == (413, "application/problem+json")


def test_what_is_not_json_is_refused(coach: TestClient) -> None:
    answer = coach.post("/api/v1/notes", content=b"text=x", headers={"Content-Type": "text/plain"})
    assert (answer.status_code, answer.headers["content-type"]) == (415, "application/problem+json")


def test_a_fault_of_ours_tells_nothing_of_itself(world: World, coach: TestClient) -> None:
    with world.parts.database.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE note RENAME TO lost")
    answer = coach.get("/api/v1/notes")
    assert (answer.status_code, answer.headers["content-type"]) == (500, "application/problem+json")
    assert "note" not in answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_problems_are_described_where_they_point(coach: TestClient, world: World) -> None:
    kind = coach.get("/api/v1/people?after=x").json()["type"]
    told = world.client().get(kind).json()
    assert told["status"] == 422
    assert "cursor" in told["meaning"]
    assert world.client().get("/api/v1/problems/none").status_code == 404


def test_the_document_tells_everything_and_no_page_loads_from_elsewhere(world: World) -> None:
    client = world.client()
    document = client.get("/api/v1/openapi.json").json()
    assert document["openapi"].startswith("3.1")
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            assert operation.get("description"), f"{method} {path} is not described"
            assert operation["tags"], path
    for place in ("/docs", "/redoc", "/api/v1/docs"):
        assert client.get(place, headers={"Host": HERE.removeprefix("http://")}).status_code == 404


def test_every_field_and_parameter_of_the_document_has_an_example_that_is_valid(world: World) -> None:
    """But for what says itself what it can be, and for what `models` describes."""
    document = world.app.openapi()
    schemas, parts = document["components"]["schemas"], {"components": document["components"]}
    ours = {each.__name__ for each in _all_below(Asked) | _all_below(Given)} & schemas.keys()
    fields = {f"{name}.{field}": schema for name in ours for field, schema in schemas[name]["properties"].items()}
    assert len(fields) > 200
    assert [name for name, schema in fields.items() if not _told(schema, schemas)] == []
    for schema in fields.values():
        for example in schema.get("examples", []):
            Draft202012Validator({**schema, **parts}).validate(example)
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            for each in operation.get("parameters", []):
                assert "example" in each or _told(each["schema"], schemas), f"{method} {path}: {each['name']}"
                if "example" in each:
                    Draft202012Validator({**each["schema"], **parts}).validate(each["example"])


def _all_below(kind: type[BaseModel]) -> set[type[BaseModel]]:
    below = set(kind.__subclasses__())
    return below.union(*map(_all_below, below))


def _told(schema: dict[str, Any], schemas: dict[str, Any]) -> bool:
    """Whether a reader sees what a value looks like."""
    if {"examples", "const", "enum", "default"} & schema.keys() or schema.get("format") in ("date", "date-time"):
        return True
    if "$ref" in schema:
        return _told(schemas[schema["$ref"].rpartition("/")[2]], schemas)
    if "items" in schema:
        return _told(schema["items"], schemas)
    some = [each for each in schema.get("anyOf", []) if each.get("type") != "null"]
    return schema.get("type") == "boolean" or "properties" in schema or any(_told(each, schemas) for each in some)

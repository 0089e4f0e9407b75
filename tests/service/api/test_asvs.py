"""The points of OWASP ASVS 5.0 that show over HTTP; tests/service/access holds those that do not."""

import re
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from httpx2 import Response
from sqlalchemy import func, select

from service.access.actors import OPERATOR
from service.access.browser import cookie
from service.access.entrance import set_password
from service.access.keys import make_key
from service.access.links import make_link
from service.access.sessions import start
from service.api.app import create_app
from service.records import Answered, Base, Effort, Gym, Person, Webhook, new_id
from service.records.database import Database
from service.settings import Settings
from tests.service.api.world import HERE, PLAN, World

PASSWORD = "seven quiet otters juggle"  # noqa: S105 -- of nobody
CLIP = min((Path(__file__).parents[3] / "sample_clips").glob("*.mp4"), key=lambda path: path.stat().st_size)
OPEN = {
    ("POST", "/api/v1/session"),
    ("POST", "/api/v1/link"),
    ("POST", "/api/v1/invitation"),
    ("OPTIONS", "/api/v1/uploads"),
    ("GET", "/api/v1/problems"),
    ("GET", "/api/v1/problems/{kind}"),
}
"""What anybody may ask: the ways in, what uploads can do, what errors mean."""
TUS = {"Tus-Resumable": "1.0.0"}
ANYWHERE = ["/api/v1/session", "/api/v1/people", "/api/v1/nothing", "/nothing", "/", "/api/v1/openapi.json"]


def routes(world: World) -> list[tuple[str, str]]:
    """Every method and path of the API."""
    found = {
        (method, path)
        for path, item in world.app.openapi()["paths"].items()
        for method in (name.upper() for name in item)
        if path.startswith("/api/")
    }
    for route in world.app.routes:
        if isinstance(route, APIRoute) and route.path.startswith("/api/"):
            found |= {(method, route.path) for method in route.methods or ()}
    assert len(found) > 25
    return sorted(found)


def filled(path: str, row_id: str) -> str:
    return re.sub(r"\{[^}]+\}", row_id, path)


def send_clip(client: TestClient, name: str = "clip.mp4", content: bytes | None = None) -> Response:
    data = CLIP.read_bytes() if content is None else content
    return client.post("/api/v1/clips", files={"file": (name, data, "video/mp4")}, data={"movement": "push-up"})


def with_password(world: World) -> Person:
    with world.parts.database.session() as records:
        coach = records.get_one(Person, world.home.coach.id)
        set_password(records, coach, PASSWORD)
    return coach


def sign_in(client: TestClient, login: str | None, password: str = PASSWORD) -> Response:
    return client.post("/api/v1/session", json={"login": login, "password": password})


@pytest.fixture
def secure(empty_data: Path, tmp_path: Path) -> Iterator[tuple[TestClient, Settings, Database]]:
    """The service behind TLS, and a browser that comes by its public name."""
    settings = Settings(data=copytree(empty_data, tmp_path / "secure"), public_url="https://gym.example")
    app = create_app(settings)
    url = "https://gym.example"
    yield (
        TestClient(app, url, headers={"Origin": url}, raise_server_exceptions=False),
        settings,
        app.state.parts.database,
    )
    app.state.parts.database.engine.dispose()


def gym_with_owner(database: Database) -> Person:
    with database.session() as records:
        gym = Gym(name="Eastside")
        records.add(gym)
        records.flush()
        owner = Person(gym_id=gym.id, role="owner", name="Ona Pell", login="ona")
        records.add(owner)
        records.flush()
        set_password(records, owner, PASSWORD)
    return owner


def test_asvs_3_3_the_cookie(secure: tuple[TestClient, Settings, Database]) -> None:
    """3.3.1, 3.3.2, 3.3.3, 3.3.4: Secure, SameSite, __Host-, HttpOnly, and the token nowhere else."""
    client, _, database = secure
    gym_with_owner(database)
    answer = sign_in(client, "ona")
    assert answer.status_code == 201
    head, *rest = (part.strip() for part in answer.headers["set-cookie"].split(";"))
    name, _, token = head.partition("=")
    attributes = {part.lower() for part in rest}
    assert name == "__Host-plumbrep"
    assert {"secure", "httponly", "path=/", "samesite=lax"} <= attributes
    assert not any(part.startswith("domain") for part in attributes)
    assert len(head) < 4096
    assert token not in answer.text
    assert client.get("/api/v1/session").json()["name"] == "Ona Pell"


@pytest.mark.parametrize("path", ANYWHERE)
def test_asvs_3_4_1_transport_security_on_every_answer(
    secure: tuple[TestClient, Settings, Database], path: str
) -> None:
    header = secure[0].get(path).headers["strict-transport-security"]
    found = re.search(r"max-age=(\d+)", header)
    assert found
    assert int(found[1]) >= 31_536_000
    assert "includeSubDomains" in header


def test_without_tls_no_transport_security_is_promised(world: World) -> None:
    assert "strict-transport-security" not in world.client().get("/api/v1/session").headers


@pytest.mark.parametrize("path", ANYWHERE)
def test_asvs_3_4_headers_on_every_answer(world: World, coach: TestClient, path: str) -> None:
    """3.4.3 content security policy, 3.4.4 nosniff, 3.4.5 referrer, 3.4.6 frame-ancestors."""
    for client in (coach, world.client()):
        for headers in (coach.get(path).headers, client.post(path, content=b"{").headers, client.delete(path).headers):
            policy = {
                part.strip().partition(" ")[0]: part.strip() for part in headers["content-security-policy"].split(";")
            }
            assert policy["object-src"] == "object-src 'none'"
            assert policy["base-uri"] == "base-uri 'none'"
            assert policy["frame-ancestors"] == "frame-ancestors 'none'"
            assert "unsafe" not in headers["content-security-policy"]
            assert headers["x-content-type-options"] == "nosniff"
            assert headers["referrer-policy"] in {"no-referrer", "same-origin", "strict-origin-when-cross-origin"}


def test_asvs_3_4_headers_on_a_fault_of_ours(world: World, coach: TestClient) -> None:
    with world.parts.database.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE pain_report RENAME TO away")
    answer = coach.get("/api/v1/pain")
    assert answer.status_code == 500
    assert "pain_report" not in answer.text  # 16.5.1: nothing of the inside is told
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("origin", ["https://evil.example", "null", HERE])
def test_asvs_3_4_2_no_other_origin_is_let_read(coach: TestClient, origin: str) -> None:
    for answer in (
        coach.get("/api/v1/people", headers={"Origin": origin}),
        coach.options("/api/v1/people", headers={"Origin": origin, "Access-Control-Request-Method": "GET"}),
    ):
        assert not [name for name in answer.headers if name.startswith("access-control-")]


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://evil.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "null"},
    ],
)
def test_asvs_3_5_1_no_route_takes_what_another_site_sends(
    world: World, owner: TestClient, headers: dict[str, str]
) -> None:
    unsafe = [(m, p) for m, p in routes(world) if m not in {"GET", "HEAD", "OPTIONS"}]
    assert len(unsafe) > 12
    for method, path in unsafe:
        answer = owner.request(method, filled(path, world.home.athlete.id), json={}, headers=headers)
        assert answer.status_code == 403, (method, path, answer.text)


def test_asvs_3_5_3_reading_changes_nothing(world: World, owner: TestClient) -> None:
    def counts() -> dict[str, int]:
        with world.parts.database.session() as records:
            return {
                table.name: records.scalar(select(func.count()).select_from(table)) or 0
                for table in Base.metadata.sorted_tables
            }

    before = counts()
    for method, path in routes(world):
        if method in {"GET", "HEAD"}:
            owner.request(method, filled(path, world.home.athlete.id))
    assert counts() == before


def test_asvs_5_2_1_size(world: World, coach: TestClient, athlete: TestClient) -> None:
    too_much = str(world.settings.clip_max_mb * 2**20 + 1)
    begun = athlete.post("/api/v1/uploads", headers={"Tus-Resumable": "1.0.0", "Upload-Length": too_much})
    assert begun.status_code == 413
    big = b"x" * (3 * 2**20)
    assert coach.post("/api/v1/prescriptions", content=big).status_code == 413
    assert coach.post("/api/v1/session", content=big, headers={"Content-Type": "application/json"}).status_code == 413


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("clip.mp4", b"<html><script>alert(1)</script></html>"),
        ("clip.mp4", b"\x7fELF" + bytes(4096)),
        ("clip.mp4", b"#EXTM3U\n#EXTINF:1,\nfile:///etc/passwd\n"),
        ("clip.mp4", b"ffconcat version 1.0\nfile '/etc/passwd'\n"),
        ("clip.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>"),
    ],
)
def test_asvs_5_2_2_content_and_not_the_name(world: World, athlete: TestClient, name: str, content: bytes) -> None:
    answer = send_clip(athlete, name, content)
    assert answer.status_code == 422
    assert "/etc/" not in answer.text
    assert not list(world.parts.store.list("clips"))


def test_asvs_5_2_4_quota_of_a_link(world: World) -> None:
    with world.parts.database.session() as records:
        athlete = records.get_one(Person, world.home.athlete.id)
        _, token = make_link(records, world.settings, athlete, OPERATOR, clips_a_day=1)
    client = world.client()
    assert client.post("/api/v1/link", json={"token": token}).status_code == 201
    assert send_clip(client).status_code == 201
    assert client.get("/api/v1/session").json()["clips_left"] == 0
    spent = send_clip(client, content=CLIP.read_bytes() + bytes(8))
    assert spent.status_code == 429
    assert 0 < int(spent.headers["retry-after"]) <= 86400


def test_asvs_5_2_6_pixels(empty_data: Path, tmp_path: Path) -> None:
    world = World(copytree(empty_data, tmp_path / "small"), clip_max_pixels=10_000)
    refused = send_clip(world.client(world.home.athlete))
    assert refused.status_code == 422
    assert "pixels" in refused.json()["detail"]
    assert not list(world.parts.store.list("clips"))
    world.close()


@pytest.mark.parametrize(
    "name", ["../../../etc/cron.d/x.mp4", "/etc/passwd", "a\\..\\b.mp4", 'x"; evil="1.mp4', "a\nb.mp4"]
)
def test_asvs_5_3_2_and_5_4_1_names_are_our_own(world: World, athlete: TestClient, name: str) -> None:
    """The name that came is used for no file, and is given back to nobody."""
    sent = send_clip(athlete, name)
    assert sent.status_code == 201, sent.text
    clip = sent.json()["id"]
    keys = list(world.parts.store.list("clips"))
    assert keys
    assert all(re.fullmatch(rf"clips/{re.escape(clip)}/[a-z]+\.[a-z0-9]+", key) for key in keys)
    answer = athlete.get(f"/api/v1/clips/{clip}/file")
    assert answer.status_code == 200
    assert re.fullmatch(r'(inline|attachment); filename="clip\.[a-z0-9]+"', answer.headers["content-disposition"])
    assert answer.headers["content-type"].startswith("video/")
    assert "sandbox" in answer.headers["content-security-policy"]


def test_asvs_6_3_1_and_6_3_8_guessing_over_http(world: World) -> None:
    coach = with_password(world)
    for login in (coach.login, "nobody@northside"):
        client = world.client()
        answers = [sign_in(client, login, f"wrong password {n}") for n in range(6)]
        assert [a.status_code for a in answers] == [401] * 5 + [429]
        assert 0 < int(answers[-1].headers["retry-after"]) <= 900
        assert len({re.sub(r'"(instance|trace)":"[^"]*"', "", a.text) for a in answers[:5]}) == 1
        assert not any("set-cookie" in a.headers for a in answers)
    assert sign_in(world.client(), coach.login).status_code == 429


def test_asvs_7_2_4_and_7_4_1_a_session_from_beginning_to_end(world: World) -> None:
    coach = with_password(world)
    client = world.client()
    name = cookie(world.settings)["key"]
    client.cookies.set(name, "A" * 43)
    assert sign_in(client, coach.login).status_code == 201
    first = client.cookies.get(name, domain="127.0.0.1") or client.cookies.get(name)
    assert first != "A" * 43
    assert client.get("/api/v1/session").status_code == 200
    thief = world.client()
    thief.cookies.set(name, str(first))
    assert thief.get("/api/v1/session").status_code == 200
    left = client.delete("/api/v1/session")
    assert left.status_code == 204
    assert re.search(r"Max-Age=0|expires=Thu, 01 Jan 1970", left.headers["set-cookie"], re.IGNORECASE)
    assert thief.get("/api/v1/session").status_code == 401


def test_asvs_7_4_1_nothing_of_a_session_stays_in_caches(coach: TestClient) -> None:
    for path in ("/api/v1/session", "/api/v1/people", "/api/v1/clips"):
        assert "no-store" in coach.get(path).headers["cache-control"]


def test_asvs_7_4_3_a_new_password_lets_others_out(world: World) -> None:
    coach = with_password(world)
    here, there = world.client(), world.client()
    assert sign_in(here, coach.login).status_code == sign_in(there, coach.login).status_code == 201
    new = {"current": PASSWORD, "password": "nine loud badgers dance"}
    changed = here.post("/api/v1/session/password", json=new, headers={"Idempotency-Key": "one"})
    assert changed.status_code == 200, changed.text
    assert there.get("/api/v1/session").status_code == 401
    assert here.get("/api/v1/session").status_code == 200
    with world.parts.database.session() as records:
        assert not records.scalars(select(Answered)).all(), "not even a digest of a password is kept but Argon2's"


def test_asvs_8_2_1_every_route_asks_who_comes(world: World) -> None:
    """Nobody gets in; a key that may only send clips gets nothing else."""
    program = world.program(world.home, "write:clips")
    world.measured(world.home.athlete)
    for method, path in routes(world):
        if (method, path) in OPEN:
            continue
        place = filled(path, world.home.athlete.id)
        answer = world.client().request(method, place, json={}, headers=TUS)
        assert answer.status_code == 401, (method, path, answer.text)
        if path == "/api/v1/session" or "/uploads" in path:  # a key may ask what it is, and this one may send
            continue
        answer = program.request(method, place, json={}, headers=TUS)
        if answer.status_code == 200:  # a list of what there is for this key: nothing
            assert method == "GET", path
            assert not any(answer.json().get(name) for name in ("items", "efforts", "missing", "deleted")), path
            assert world.home.athlete.id not in answer.text, path
        else:
            assert answer.status_code in {403, 404, 422}, (method, path, answer.text)


def test_asvs_8_2_2_and_8_4_1_nothing_of_another_gym_or_athlete(world: World) -> None:
    """Every route with an identifier, tried on real rows of somebody else: as if they were not there."""
    coach, athlete = world.client(world.home.coach), world.client(world.home.athlete)
    clip = send_clip(athlete).json()["id"]
    plan = coach.post("/api/v1/prescriptions", json={"athlete": world.home.athlete.id, "text": PLAN}).json()["id"]
    pain = athlete.post(f"/api/v1/people/{world.home.athlete.id}/pain", json={"text": "wrist"}).json()["id"]
    link = coach.post(f"/api/v1/people/{world.home.athlete.id}/links", json={}).json()["id"]
    measured = world.measured(world.home.athlete)
    with world.parts.database.session() as records:
        key, _ = make_key(records, world.home.id, "planner", ["read:tempo"])
        hook = Webhook(id=new_id(), gym_id=world.home.id, url="https://tool.example/", secret="s", events=[])  # noqa: S106
        records.add(hook)
        effort = records.scalars(select(Effort).where(Effort.clip_id == measured.id)).first()
        assert effort
    ids = {
        "people": world.home.athlete.id, "clips": clip, "prescriptions": plan, "pain": pain, "links": link, "keys": key.id,
        "webhooks": hook.id, "efforts": str(effort.id), "sets": str(effort.set_id),
    }  # fmt: skip
    secrets = [row for row in ids.values() if len(row) > 10]
    strangers = [
        world.client(world.away.owner),
        world.client(world.away.coach),
        world.client(world.away.athlete),
        world.client(world.home.other_athlete),
        world.program(world.away, "read:tempo", "read:clips", "write:clips", "read:people", "write:prescriptions"),
    ]
    tried = 0
    for method, path in routes(world):
        found = re.match(r"/api/v1/(\w+)/\{", path)
        if not found or found[1] not in ids:
            continue
        for stranger in strangers:
            answer = stranger.request(method, filled(path, ids[found[1]]), json={}, headers={"If-Match": "*"})
            assert answer.status_code in {403, 404, 422}, (method, path, answer.status_code)
            if method in {"GET", "HEAD"}:
                assert answer.status_code == 404, (method, path, answer.status_code)
            assert not any(row in answer.text for row in secrets), (method, path)
            tried += 1
    assert tried > 100
    assert coach.get(f"/api/v1/clips/{clip}").status_code == 200
    assert coach.get(f"/api/v1/people/{world.home.athlete.id}").status_code == 200


def test_asvs_8_3_2_a_role_that_changes_counts_at_once(world: World, owner: TestClient) -> None:
    assert owner.post("/api/v1/people", json={"name": "New", "role": "athlete"}).status_code == 201
    with world.parts.database.session() as records:
        records.get_one(Person, world.home.owner.id).role = "coach"
    assert owner.post("/api/v1/people", json={"name": "New", "role": "athlete"}).status_code == 403


def test_a_token_in_the_address_counts_for_nothing(world: World) -> None:
    """ASVS 5.0, 14.2.1: tokens travel in headers and bodies only."""
    with world.parts.database.session() as records:
        token = start(records, world.settings, records.get_one(Person, world.home.owner.id)).token
    for name in (cookie(world.settings)["key"], "token", "key", "access_token"):
        assert world.client().get(f"/api/v1/session?{name}={token}").status_code == 401

"""The whole service, as processes: athletes send clips over lines that break while workers are killed; each clip is measured once.

Real are the servers, the uploads, the queue, the workers, the store, the records. What a clip's child process gives is
ready-made, but for some clips that are measured in earnest.

`CLIPS_EACH=5 python -m pytest tests/service/test_end_to_end.py` sends as many to many machines as to one: sixty.
"""

import os
import random
import secrets
import signal
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

import httpx
import pytest
from sqlalchemy import func, select

from service.records import Clip, Effort, Measurement
from service.records.database import Database
from service.store import ClipFiles, open_store
from tests.by_hand import push_ups
from tests.service.conftest import ROOT
from tests.service.intake.phones import box, write_clip
from tests.service.running.forms import Form, many_machines, one_machine
from tests.service.running.processes import PASSWORD, alive, browser, children, plumbrep, until
from tests.service.running.sending import send_in_pieces, send_whole
from tests.service.s3 import Bucket, bucket, s3_server  # noqa: F401 -- fixtures
from tests.service.shortened import beginning

ATHLETES, KILLS = 12, 6
CLIPS_EACH, FEWER = 5, int(os.environ.get("CLIPS_EACH", "3"))
"""Taking in a clip costs half a second of processor; the second form does with fewer, unless it is told otherwise."""
GYM, FILE_NAME = "Kellerturnen am Deich", "Wibke rechts.mp4"
NAMES = [f"Wibke Nordhoff {n}" for n in range(ATHLETES)]
REAL = {"push-up-too-fast": "push-up"}
REAL_SECONDS = 5.0
"""Of each, which hold its first rep."""
PADDING = 200_000
"""Bytes that make a clip long enough to be broken off, and different from all others."""


@dataclass
class Gym:
    """Its people, signed in, and what nobody else may know."""

    owner: httpx.Client
    athletes: list[httpx.Client]
    secrets: list[str]

    def close(self) -> None:
        """Let go of the connections."""
        for client in (self.owner, *self.athletes):
            client.close()


@pytest.fixture
def ready(tmp_path: Path) -> Path:
    """The folder of what the quick child gives."""
    folder = tmp_path / "ready"
    folder.mkdir()
    (folder / "document.json").write_text(push_ups().model_dump_json())
    return folder


def test_on_one_machine(tmp_path: Path, ready: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with one_machine(tmp_path, ready) as form:
        gym = _gym(form)
        figures = [_storm(form, gym, ready, tmp_path, CLIPS_EACH), _in_earnest(form, gym, tmp_path)]
        workers = form.service.workers()
        gym.close()
        _require_quiet_end(form, gym)
        assert not any(map(alive, workers))
    with capsys.disabled():
        print("\n  One machine, SQLite:", *figures, sep="\n    ")


def test_on_many_machines(
    tmp_path: Path,
    ready: Path,
    postgres_url: str,
    bucket: Bucket,  # noqa: F811
    capsys: pytest.CaptureFixture[str],
) -> None:
    with many_machines(tmp_path, ready, database=postgres_url, **bucket.settings) as form:
        gym = _gym(form)
        figures = _storm(form, gym, ready, tmp_path, FEWER)
        gym.close()
        _require_quiet_end(form, gym)
    with capsys.disabled():
        print("\n  Many machines, PostgreSQL and S3:", figures, sep="\n    ")


def _gym(form: Form) -> Gym:
    """Begun at the command line, filled over HTTP."""
    made = plumbrep(form.service.settings, "gym", GYM, "--login", "wibke", "--owner", NAMES[0], said=f"{PASSWORD}\n")
    assert made.returncode == 0, made.stderr
    owner = browser(form.service.url)
    assert owner.post("/api/v1/session", json={"login": "wibke", "password": PASSWORD}).status_code == 201
    athletes, known = [], []
    for name in NAMES:
        person = owner.post("/api/v1/people", json={"name": name}).json()["id"]
        token = owner.post(f"/api/v1/people/{person}/links", json={}).json()["address"].partition("#")[2]
        athlete = browser(form.service.url)
        assert athlete.post("/api/v1/link", json={"token": token}).status_code == 201
        athletes.append(athlete)
        known += [token, *athlete.cookies.values()]
    return Gym(owner, athletes, [*known, *owner.cookies.values()])


def _storm(form: Form, gym: Gym, ready: Path, folder: Path, each: int) -> str:
    """Clips come from all athletes at once while workers are killed; what it took."""
    bases = [write_clip(folder / f"{n}.mp4", size=(64, 48), frames=12 + n).read_bytes() for n in range(each)]
    begun = time.monotonic()

    def send_all(n: int) -> list[str]:
        return [_send(gym.athletes[n], base, n + k) for k, base in enumerate(bases)]

    with _killing(form, ready, every=ATHLETES * each // KILLS) as killed:
        with ThreadPoolExecutor(ATHLETES) as pool:
            sent = [clip_id for ids in pool.map(send_all, range(ATHLETES)) for clip_id in ids]
        took = time.monotonic() - begun
        until(lambda: _all_measured(gym.owner), 400)
    took_all = time.monotonic() - begun
    assert len(set(sent)) == ATHLETES * each
    assert len(killed) == KILLS
    _require_once(form, sent)
    return (
        f"{len(sent)} clips of {ATHLETES} athletes sent in {took:.0f} s and measured after {took_all:.0f} s; "
        f"{len(killed)} workers killed; {_tries(ready)} tries"
    )


def _send(athlete: httpx.Client, base: bytes, n: int) -> str:
    """In one piece, in pieces, or in pieces over a line that breaks."""
    clip = base + box(b"free", secrets.token_bytes(PADDING))
    return (
        send_whole(athlete, clip, FILE_NAME) if n % 3 == 0 else send_in_pieces(athlete, clip, FILE_NAME, breaks=n % 3)
    )


@contextmanager
def _killing(form: Form, ready: Path, every: int) -> Iterator[list[int]]:
    """Kill workers meanwhile, each while it measures a clip; the processes that were killed.

    One dies each time that `every` further tries were begun: killed in quick succession, workers die of the same clip that
    they take up again first, and it is rightly given up.
    """
    killed: list[int] = []
    over, chance = Event(), random.Random(11)

    def kill() -> None:
        while not over.wait(0.05) and len(killed) < KILLS:
            busy = [worker for worker in form.workers() if children(worker)]
            if busy and _tries(ready) > every * len(killed):
                killed.append(chance.choice(busy))
                os.kill(killed[-1], signal.SIGKILL)

        while not over.wait(0.2):
            form.workers()  # which looks after them

    thread = Thread(target=kill)
    thread.start()
    try:
        yield killed
    finally:
        over.set()
        thread.join()


def _tries(ready: Path) -> int:
    """How often the quick child was begun."""
    log = ready / "log.txt"
    return len(log.read_text().splitlines()) if log.exists() else 0


def _all_measured(owner: httpx.Client) -> bool:
    states = {clip["state"] for clip in owner.get("/api/v1/clips", params={"limit": 200}).json()["items"]}
    assert not states & {"failed", "refused"}
    return states == {"measured"}


def _require_once(form: Form, clips: list[str]) -> None:
    """One measurement with its three reps, and the files that belong to it, for each clip."""
    database, store = Database(form.settings.database_url), open_store(form.settings)
    with database.session() as session:
        assert set(session.scalars(select(Clip.id))) == set(clips)
        assert sorted(session.scalars(select(Measurement.clip_id))) == sorted(clips)
        counted = session.execute(select(Effort.clip_id, func.count()).group_by(Effort.clip_id))
        efforts = {row[0]: row[1] for row in counted}
    assert efforts == dict.fromkeys(clips, 3)
    database.engine.dispose()
    kept = {f"{ClipFiles(clip).folder}/{name}" for clip in clips for name in ("clip.mp4", "proxy.mp4", "series.npz")}
    assert set(store.list("clips")) == kept


def _in_earnest(form: Form, gym: Gym, folder: Path) -> str:
    """Clips that are measured by the real child; how long the stages took."""
    sent = []
    for name, movement in REAL.items():
        whole, part = ROOT / "sample_clips" / f"{name}.mp4", folder / f"{name}.mp4"
        clip = beginning(whole, REAL_SECONDS, part).read_bytes()
        sent.append(send_in_pieces(gym.athletes[0], clip, FILE_NAME, breaks=1, movement=movement))
    until(lambda: _all_measured(gym.owner), 240)
    database = Database(form.settings.database_url)
    with database.session() as session:
        rows = {row.id: row for row in session.scalars(select(Clip).where(Clip.id.in_(sent)))}
        reps = {clip: session.scalar(select(func.count()).where(Effort.clip_id == clip)) for clip in sent}
    database.engine.dispose()
    assert all(reps[clip] for clip in sent)
    told = [f"{rows[clip].seconds:.0f} s of clip, {rows[clip].stage_seconds}" for clip in sent]
    return f"in earnest: {'; '.join(told)}"


def _require_quiet_end(form: Form, gym: Gym) -> None:
    """It stops in order, and what it logged can be followed by identifiers, and names nobody."""
    told = form.service
    counted = {line.rpartition(" ")[0]: float(line.rpartition(" ")[2]) for line in _metrics(told.url)}
    assert counted['plumbrep_http_requests_total{method="HEAD",route="/api/v1/uploads/{upload_id}",status="200"}'] > 0
    assert counted["plumbrep_queue_waiting"] == 0
    form.stop()
    logs = form.logs()
    assert told.process.returncode == 0, logs[-3000:]
    assert '"clip_id"' in logs
    assert '"job_id"' in logs
    assert '"worker"' in logs
    assert [word for word in (GYM, "Wibke", "Nordhoff", "wibke", PASSWORD, *gym.secrets) if word in logs] == []


def _metrics(url: str) -> list[str]:
    return [line for line in httpx.get(f"{url}/metrics").text.splitlines() if not line.startswith("#")]

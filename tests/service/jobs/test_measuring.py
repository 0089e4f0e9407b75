"""A real clip through the real child, by a movement of our own, with files in an S3-speaking store and records on PostgreSQL."""

from collections.abc import Iterator
from importlib.resources import as_file, files
from io import BytesIO
from pathlib import Path
from shutil import copy

import numpy as np
import pytest
from sqlalchemy import select

from models.document import Document
from service.jobs.measure import COMMAND
from service.jobs.series import read_series
from service.records.database import Database
from service.records.results import Effort, Measurement
from service.settings import Settings
from service.store import ClipFiles
from tests.service.jobs.floor import Floor, open_floor
from tests.service.s3 import Bucket, bucket, s3_server  # noqa: F401
from tests.service.shortened import beginning
from vision.clip import open_clip

PUSH_UPS = Path(__file__).parents[3] / "sample_clips" / "push-up-too-fast.mp4"
FIRST = 5.0
"""Seconds that hold the first of its push-ups."""
SLOWLY = 'movement = "our-push-up"\nreps = 1\ntempo = "3-0-1-0"\n'


@pytest.fixture
def push_up(tmp_path: Path) -> Path:
    """The beginning of the clip."""
    return beginning(PUSH_UPS, FIRST, tmp_path / "push-up.mp4")


@pytest.fixture
def s3_floor(postgres_database: Database, bucket: Bucket, tmp_path: Path) -> Iterator[Floor]:  # noqa: F811
    url = postgres_database.engine.url.render_as_string(hide_password=False)
    settings = Settings(data=tmp_path, database=url, **bucket.settings)
    with open_floor(settings, tmp_path / "ready", prescribed=SLOWLY) as opened:
        yield opened


def test_a_real_clip_is_measured_judged_and_drawn_from(
    s3_floor: Floor, push_up: Path, empty_room: Path, tmp_path: Path
) -> None:
    floor = s3_floor
    clip_id, empty = floor.stored(push_up), floor.stored(empty_room)
    for each in (empty, clip_id):
        floor.queue.submit(each)
    own = tmp_path / "movements"
    own.mkdir()
    with as_file(files("models.movements") / "push-up.toml") as catalogue:
        copy(catalogue, own / "our-push-up.toml")
    floor.worker("only", {"PLUMBREP_MOVEMENTS": str(own)}, command=COMMAND)
    floor.until_ended(empty, clip_id, seconds=240)
    refused, done = floor.row(empty), floor.row(clip_id)

    assert (refused.state, refused.reason) == (
        "refused",
        "no person is seen in this clip; film the whole body, in good light",
    )
    assert done.state == "measured", done.reason
    assert set(done.stage_seconds or {}) == {"fetching", "making a copy to look at", "following the athlete", "keeping"}

    with floor.database.session() as session:
        kept = session.scalars(select(Measurement).where(Measurement.clip_id == clip_id)).one()
        document = Document.model_validate_json(kept.document)
        efforts = session.scalars(select(Effort).where(Effort.clip_id == clip_id)).all()
    assert kept.prescription_version_id == floor.version.id
    assert document.movement == "our-push-up"
    assert [(each.kind, each.status, each.verdict) for each in efforts] == [("rep", "whole", "missed")]

    original = open_clip(push_up)
    series = read_series(BytesIO(b"".join(floor.store.stream(ClipFiles(clip_id).series))))
    assert np.array_equal(series.time, original.times)
    assert (series.driving, series.tilt, series.refusal) == ("elbow", "body", "")
    assert series.joints.shape == (len(series.time), len(series.joint_names), 2)
    seen = series.joints[series.present]
    assert np.mean((seen > 0) & (seen < 1)) > 0.9
    elbow = series.angles["elbow"]
    lowering = document.sets[0].reps[0].lowering
    assert lowering is not None
    start, end = np.interp([lowering.start, lowering.end], series.time, elbow.value)
    assert end - start > 45
    assert np.all((elbow.u95 > elbow.sd) & (elbow.u95 < 40))

    for each, source in ((clip_id, push_up), (empty, empty_room)):
        proxy = tmp_path / f"{each}.mp4"
        floor.store.fetch(ClipFiles(each).proxy, proxy)
        shown = open_clip(proxy)
        assert shown.facts.codec == "h264"
        assert max(shown.facts.width, shown.facts.height) <= 1280
        assert shown.times == pytest.approx(open_clip(source).times, abs=1e-4)

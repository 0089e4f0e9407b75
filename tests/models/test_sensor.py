import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from models.errors import SensorError
from models.sensor import (
    VERSION,
    Clock,
    Sample,
    SensorTrack,
    gravity,
    json_schema,
    parse_sensor_track,
    read_sensor_track,
)

SCHEMA_FILE = Path(__file__).parents[2] / "docs" / "sensor.schema.json"
RENEW = 'python -c "import json; from models.sensor import *; print(json.dumps(json_schema(), indent=2))"'

GOOD: dict[str, Any] = {
    "document": VERSION,
    "clock": {"offset": 12.5, "u": 0.02},
    "u": 0.4,
    "samples": [{"time": 12.5, "roll": -1.5, "pitch": 7.0}, {"time": 12.52, "roll": -1.4, "pitch": 7.1}],
}


def written(**changes: object) -> bytes:
    return json.dumps({**GOOD, **changes}).encode()


def sample(**changes: object) -> dict[str, object]:
    return {"time": 0.0, "roll": 0.0, "pitch": 0.0, **changes}


def test_a_whole_track_is_read(tmp_path: Path) -> None:
    (tmp_path / "set.json").write_bytes(written())
    track = read_sensor_track(tmp_path / "set.json")
    assert track.clock == Clock(offset=12.5, u=0.02)
    assert track.u == 0.4
    assert track.samples == (Sample(time=12.5, roll=-1.5, pitch=7.0), Sample(time=12.52, roll=-1.4, pitch=7.1))


def test_only_the_samples_are_needed() -> None:
    track = parse_sensor_track(json.dumps({"document": VERSION, "samples": [sample()]}).encode(), "set.json")
    assert track.clock is None
    assert track.u is None


def test_fields_of_a_later_version_are_ignored() -> None:
    track = parse_sensor_track(written(phone="a phone", samples=[sample(heading=12)]), "set.json")
    assert track.samples == (Sample(time=0, roll=0, pitch=0),)


def test_what_is_written_is_read_back() -> None:
    track = SensorTrack.model_validate(GOOD, strict=False)
    assert parse_sensor_track(track.model_dump_json().encode(), "set.json") == track


BAD = {
    "no json": (b"roll 3", "Invalid JSON"),
    "no object": (b"[]", "object"),
    "another document": (written(document="plumbrep.measurement/1"), "document"),
    "a later version": (written(document="plumbrep.sensor/2"), "plumbrep.sensor/1"),
    "no samples": (written(samples=[]), "samples"),
    "text for a number": (written(samples=[sample(roll="3")]), "samples.1.roll"),
    "yes for a number": (written(samples=[sample(roll=True)]), "samples.1.roll"),
    "no pitch": (written(samples=[{"time": 0, "roll": 1}]), "samples.1.pitch"),
    "not finite": (b'{"document":"plumbrep.sensor/1","samples":[{"time":0,"roll":0,"pitch":NaN}]}', "samples.1.pitch"),
    "more than upright": (written(samples=[sample(), sample(time=1, pitch=90.5)]), "samples.2.pitch"),
    "radians times a thousand": (written(samples=[sample(roll=900)]), "samples.1.roll"),
    "out of order": (written(samples=[sample(time=1), sample(time=0.5)]), "sample 2 is not later"),
    "the same time twice": (written(samples=[sample(), sample(), sample(time=1)]), "sample 2 is not later"),
    "a doubt below nothing": (written(clock={"offset": 0, "u": -0.1}), "clock.u"),
    "no doubt at all": (written(u=0), "u"),
    "half a clock": (written(clock={"offset": 3}), "clock.u"),
}


@pytest.mark.parametrize(("content", "word"), BAD.values(), ids=BAD)
def test_anything_else_is_refused_in_one_line_that_says_where(content: bytes, word: str) -> None:
    with pytest.raises(SensorError) as refused:
        parse_sensor_track(content, "set.json")
    message = str(refused.value)
    assert message.startswith("set.json is no sensor track: ")
    assert word in message
    assert "\n" not in message
    assert "docs/sensor.md" in message


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "nowhere.json", tmp_path):
        with pytest.raises(SensorError, match="cannot read the sensor track"):
            read_sensor_track(path)


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    with path.open("wb") as file:
        file.truncate(65 * 2**20)
    with pytest.raises(SensorError, match="larger than 64 MiB"):
        read_sensor_track(path)


def test_the_committed_schema_is_current() -> None:
    assert json.loads(SCHEMA_FILE.read_text(encoding="utf-8")) == json_schema(), f"{RENEW} > {SCHEMA_FILE}"


def test_the_schema_and_the_reader_agree() -> None:
    Draft202012Validator.check_schema(json_schema())
    validator = Draft202012Validator(json_schema())
    assert validator.is_valid(GOOD)
    unsaid = {"out of order", "the same time twice", "not finite", "no json"}  # a schema cannot say these
    for name, (content, _) in BAD.items():
        if name not in unsaid:
            assert not validator.is_valid(json.loads(content)), name


def test_gravity_in_the_cameras_frame() -> None:
    """x right, y down, z away: level it points down; a lens that looks straight up has it behind."""
    assert gravity(0, 0) == pytest.approx((0, 1, 0))
    assert gravity(0, 90) == pytest.approx((0, 0, -1))
    assert gravity(90, 0) == pytest.approx((1, 0, 0))


@given(st.floats(-180, 180), st.floats(-90, 90))
def test_gravity_is_a_unit_vector_that_tells_both_angles(roll: float, pitch: float) -> None:
    x, y, z = gravity(roll, pitch)
    assert np.linalg.norm([x, y, z]) == pytest.approx(1)
    assert -np.degrees(np.arcsin(np.clip(z, -1, 1))) == pytest.approx(pitch, abs=1e-5)
    if abs(pitch) < 89:
        assert np.cos(np.arctan2(x, y) - np.radians(roll)) == pytest.approx(1)

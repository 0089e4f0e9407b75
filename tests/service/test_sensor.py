"""`--sensor`: what is wrong with a track is said before the long work, in one line."""

import json
from pathlib import Path

import pytest

from models.sensor import VERSION
from tests.service.conftest import Run

PLAN = 'movement = "push-up"\nreps = 3\ntempo = "3-0-1-0"\n'
COMMANDS = (
    ("measure", "CLIP", "--movement", "push-up"),
    ("check", "CLIP", "plan.toml"),
    ("draw", "CLIP", "--movement", "push-up", "--out", "drawn.mp4"),
)


def written(folder: Path, start: float, end: float) -> Path:
    path = folder / "track.json"
    samples = [{"time": start + 0.02 * n, "roll": 1.0, "pitch": 2.0} for n in range(int((end - start) / 0.02))]
    path.write_text(json.dumps({"document": VERSION, "samples": samples}), encoding="utf-8")
    return path


def message(run_it: Run, room: Path, command: tuple[str, ...], track: object) -> str:
    run = run_it(*(room if word == "CLIP" else word for word in command), "--sensor", track)
    assert run.returncode == 2, run.stderr
    assert run.stdout == ""
    (line,) = run.stderr.splitlines()
    return line


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_a_track_that_is_none(here: Run, tmp_path: Path, empty_room: Path, command: tuple[str, ...]) -> None:
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    (tmp_path / "track.json").write_text('{"roll": 3}', encoding="utf-8")
    line = message(here, empty_room, command, "track.json")
    assert line.startswith("plumbrep: track.json is no sensor track: document: ")
    assert {path.name for path in tmp_path.iterdir()} == {"plan.toml", "track.json"}


def test_a_missing_track(here: Run, empty_room: Path) -> None:
    assert "cannot read the sensor track nowhere.json" in message(here, empty_room, COMMANDS[0], "nowhere.json")


def test_the_track_of_another_clip(here: Run, tmp_path: Path, empty_room: Path) -> None:
    line = message(here, empty_room, COMMANDS[0], written(tmp_path, 30, 40))
    assert "does not cover the clip" in line


def test_with_a_sound_track_the_clip_is_looked_at(here: Run, tmp_path: Path, empty_room: Path) -> None:
    line = message(here, empty_room, COMMANDS[0], written(tmp_path, -0.1, 2.1))
    assert "no person" in line

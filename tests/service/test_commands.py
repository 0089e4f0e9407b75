"""The commands on a sample clip, from the picture to what the user sees and keeps. Nothing is stood in for."""

import json
import os
import pty
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryFile
from threading import Thread
from time import monotonic, sleep
from typing import Any, Self

import av
import jsonschema
import pytest

from models.document import json_schema
from models.movements import load_movement
from tests.bench.truth import Truth, clips_in, read_truth
from tests.service.conftest import ENVIRONMENT, ROOT, Run
from tests.service.shortened import beginning
from vision import track
from vision.clip import Clip
from vision.track import Tracks


def plain(truth: Truth) -> bool:
    """Whether the movement's name says all about it, as the command line needs."""
    return truth.as_measured() == load_movement(truth.movement)


CLIPS = [(clip, read_truth(clip)) for clip in clips_in(ROOT / "sample_clips")]
SMALL = sorted(CLIPS, key=lambda pair: pair[0].stat().st_size)
WHOLE_SET, REPS_TRUTH = next(pair for pair in SMALL if not pair[1].is_hold and plain(pair[1]))
REPS_SECONDS, LESS_SECONDS = 8.0, 2.5
"""Two reps of the set and a little of the third, and not one: the more a clip shows, the longer it takes, and nothing else."""
HOLD, HOLD_TRUTH = next(pair for pair in CLIPS if pair[0].stem == "front-lever-tuck")
"""It has a prescription beside it too."""
WHOLE = sum(rep.status == "whole" and rep.end < REPS_SECONDS for group in REPS_TRUTH.sets for rep in group.reps)


def document(text: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(text)
    jsonschema.validate(found, json_schema())
    return found


def whole_reps(found: dict[str, Any]) -> int:
    return sum(rep["status"] == "whole" for group in found["sets"] for rep in group["reps"])


@pytest.fixture(scope="module")
def reps(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The beginning of the set."""
    return beginning(WHOLE_SET, REPS_SECONDS, tmp_path_factory.mktemp("clips") / "reps.mp4")


@pytest.fixture(scope="module")
def less(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Less of it, for a run in a process of its own, which follows the athlete anew."""
    return beginning(WHOLE_SET, LESS_SECONDS, tmp_path_factory.mktemp("clips") / "reps.mp4")


@pytest.fixture(scope="module", autouse=True)
def followed_once() -> Iterator[None]:
    """What runs within this process follows an athlete once in each clip: the same pictures give the same tracks."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(track, "track", _once(track.track))
        yield


def _once(follow: Callable[..., Tracks]) -> Callable[..., Tracks]:
    known: dict[Path, Tracks] = {}

    def once(clip: Clip, *others: Any) -> Tracks:
        if clip.path not in known:
            known[clip.path] = follow(clip, *others)
        return known[clip.path]

    return once


def test_measure_prints_a_table_and_keeps_json(here: Run, reps: Path, tmp_path: Path) -> None:
    run = here("measure", reps, "--movement", REPS_TRUTH.movement, "--json", "reps.json")
    assert run.returncode == 0
    assert run.stderr == ""
    found = document((tmp_path / "reps.json").read_text(encoding="utf-8"))
    assert [path.name for path in tmp_path.iterdir()] == ["reps.json"]
    assert (found["document"], found["movement"]) == ("plumbrep.measurement/1", REPS_TRUTH.movement)
    assert whole_reps(found) == WHOLE
    assert not any("checks" in rep or "verdict" in rep for group in found["sets"] for rep in group["reps"])
    assert f"{WHOLE} whole rep" in run.stdout
    for rep in (rep for group in found["sets"] for rep in group["reps"]):
        if rep["lowering"] and rep["lowering"]["duration"]["value"]:
            assert f"{rep['lowering']['duration']['value']:.2f} ±" in run.stdout
    assert "\x1b" not in run.stdout
    assert "it does not diagnose" in run.stdout


def test_check_adds_verdicts_that_follow_the_limits(here: Run, reps: Path, tmp_path: Path) -> None:
    far, near = 30.0, 0.1  # seconds of lowering that no rep can reach, and of raising that each surpasses
    limits = f"lowering = {{ low = {far} }}\nraising = {{ low = {near} }}\n"
    text = f'movement = "{REPS_TRUTH.movement}"\nreps = {WHOLE}\n[limits]\n{limits}'
    (tmp_path / "today.toml").write_text(text, encoding="utf-8")
    run = here("check", reps, "today.toml", "--json", "-")
    assert (run.returncode, run.stderr) == (0, "")
    (group,) = document(run.stdout)["sets"]
    whole = [rep for rep in group["reps"] if rep["status"] == "whole"]
    assert len(whole) == WHOLE
    for rep in whole:
        assert {check["name"]: check["verdict"] for check in rep["checks"]} == {"lowering": "missed", "raising": "met"}
        assert rep["verdict"] == "missed"
    assert group["verdict"] == "missed"
    assert group["summary"]["first_missed"] == whole[0]["n"]


def test_a_hold_is_checked_against_its_time_in_position(here: Run, tmp_path: Path) -> None:
    (hold,) = HOLD_TRUTH.sets[0].holds
    text = f'movement = "{HOLD_TRUTH.movement}"\nvariant = "tuck"\nhold = {max(1.0, hold.still / 2)}\n'
    (tmp_path / "today.toml").write_text(text, encoding="utf-8")
    height = HOLD_TRUTH.athlete.height_cm
    run = here("check", HOLD, "today.toml", "--height-cm", height, "--json", "hold.json")
    assert run.returncode == 0, run.stderr
    (group,) = document((tmp_path / "hold.json").read_text(encoding="utf-8"))["sets"]
    (found,) = group["holds"]
    assert found["still"]["value"] == pytest.approx(hold.still, abs=0.4)
    assert [check["name"] for check in found["checks"]] == ["in_position"]
    assert found["verdict"] == "met"
    assert "1 hold in 1 set" in run.stdout


def test_draw_writes_a_clip_of_the_same_frames(here: Run, reps: Path, tmp_path: Path) -> None:
    run = here("draw", reps, "-o", "drawn.mp4", "--movement", REPS_TRUTH.movement)
    assert run.returncode == 0, run.stderr
    assert run.stderr == ""
    assert [path.name for path in tmp_path.iterdir()] == ["drawn.mp4"]
    with av.open(str(tmp_path / "drawn.mp4")) as drawn:
        assert sum(1 for _ in drawn.decode(video=0)) == sum(time < REPS_SECONDS for time in REPS_TRUTH.frames["time"])


def test_demo_writes_json_plot_and_clip(here: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On the shortest clip with a prescription: the favourite takes minutes and shows nothing more."""
    monkeypatch.setattr("service.commands.demo.FAVOURITE", HOLD.stem)
    run = here("demo", "--out", "here")
    assert run.returncode == 0, run.stderr
    names = sorted(path.name for path in (tmp_path / "here").iterdir())
    assert [name.rpartition(".")[2] for name in names] == ["mp4", "json", "png"]
    assert all(f"wrote here/{name}" in run.stdout for name in names)
    (json_file,) = (tmp_path / "here").glob("*.json")
    found = document(json_file.read_text(encoding="utf-8"))
    assert all("verdict" in group for group in found["sets"])


def test_progress_is_drawn_on_a_terminal_and_only_on_standard_error(less: Path, tmp_path: Path) -> None:
    with Terminal(tmp_path, "measure", less, "--movement", REPS_TRUTH.movement, "--json", "-") as run:
        assert run.status() == 0
    document(run.stdout)
    assert b"following the athlete" in run.shown
    assert b"%" in run.shown


@pytest.mark.parametrize("command", [["measure", "--json", "out.json"], ["draw", "-o", "out.mp4"]])
def test_an_interrupted_run_leaves_nothing(less: Path, tmp_path: Path, command: list[str]) -> None:
    name, *options = command
    with Terminal(tmp_path, name, less, "--movement", REPS_TRUTH.movement, *options) as run:
        run.wait_for(b"%")  # the bar is on: the run is in the middle of its work
        run.process.send_signal(signal.SIGINT)
        assert run.status() == 130
    assert run.stdout == ""
    assert list(tmp_path.iterdir()) == []


def _interruptible() -> None:
    """What runs in the background of a shell script is born deaf to interrupts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Terminal:
    """A run whose standard error is a terminal, and whose standard output is none."""

    def __init__(self, folder: Path, *arguments: object) -> None:
        self.leader, follower = pty.openpty()
        command = [sys.executable, "-m", "service.cli", *map(str, arguments)]
        environment = ENVIRONMENT | {"TERM": "xterm"}
        self.output = TemporaryFile()  # noqa: SIM115, closed in __exit__
        self.process = subprocess.Popen(
            command,
            cwd=folder,
            env=environment,
            stdout=self.output,
            stderr=follower,
            preexec_fn=_interruptible,  # noqa: PLW1509, no threads run yet
        )
        os.close(follower)
        self.shown = b""
        self.stdout = ""
        self.reader = Thread(target=self._read)

    def __enter__(self) -> Self:
        self.reader.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        self.reader.join()
        with self.output:
            self.output.seek(0)
            self.stdout = self.output.read().decode()
        os.close(self.leader)

    def status(self) -> int:
        return self.process.wait(300)

    def wait_for(self, words: bytes) -> None:
        until = monotonic() + 120
        while words not in self.shown:
            assert self.process.poll() is None, "the run ended before its progress was shown"
            assert monotonic() < until
            sleep(0.02)

    def _read(self) -> None:
        """Keep reading, or the run would wait for room; at the end Linux reports an error."""
        with suppress(OSError):
            while part := os.read(self.leader, 4096):
                self.shown += part

"""What a user can get wrong: one line on standard error, exit status 2, and nothing left behind."""

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from models.pose import system
from service.cli import app
from tests.service.conftest import Run

GOOD = 'movement = "push-up"\nreps = 3\ntempo = "3-0-1-0"\n'


def refused(run: subprocess.CompletedProcess[str], *words: str) -> None:
    """Check that the run ended with status 2 and one line that holds the words."""
    assert run.returncode == 2, run.stderr
    assert run.stdout == ""
    (line,) = run.stderr.splitlines()
    assert line.startswith("plumbrep: ")
    for word in words:
        assert word in line


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_missing_clip(here: Run) -> None:
    refused(here("measure", "nowhere.mp4", "--movement", "push-up"), "nowhere.mp4")


def test_a_folder_for_a_clip(here: Run, tmp_path: Path) -> None:
    (tmp_path / "clips").mkdir()
    refused(here("measure", "clips", "--movement", "push-up"))


@pytest.mark.parametrize(
    "content", [b"", b"dear coach, here is my set\n", b"\x00\x00\x00\x18ftypmp42" + 5000 * b"\x00"]
)
def test_not_a_video_leaves_no_json(here: Run, tmp_path: Path, content: bytes) -> None:
    (tmp_path / "set.mp4").write_bytes(content)
    refused(here("measure", "set.mp4", "--movement", "push-up", "--json", "set.json"))
    assert files(tmp_path) == {"set.mp4"}


def test_half_a_clip(here: Run, tmp_path: Path, empty_room: Path) -> None:
    whole = empty_room.read_bytes()
    (tmp_path / "half.mp4").write_bytes(whole[: len(whole) // 2])
    refused(here("measure", "half.mp4", "--movement", "push-up"))


def test_nobody_in_the_clip(plumbrep: Run, tmp_path: Path, empty_room: Path) -> None:
    refused(plumbrep("measure", empty_room, "--movement", "push-up", "--json", "room.json"))
    assert files(tmp_path) == set()


def test_nobody_to_draw(here: Run, tmp_path: Path, empty_room: Path) -> None:
    refused(here("draw", empty_room, "-o", "drawn.mp4", "--movement", "push-up"))
    assert files(tmp_path) == set()


@pytest.mark.parametrize("command", ["measure", "movements"])
def test_an_unknown_movement_names_the_near_one(here: Run, empty_room: Path, command: str) -> None:
    arguments = [empty_room, "--movement", "pushup"] if command == "measure" else ["pushup"]
    refused(here(command, *arguments), "pushup", "push-up")


@pytest.mark.parametrize(
    ("prescription", "word"),
    [
        ("", "movement"),
        ("movement = push-up", "line 1"),
        ('movement = "push-up"\n', "reps"),
        (GOOD + "repz = 3\n", "repz"),
        (GOOD + "[limits]\nbent.elbow = { low = 90, high = 90 }\n", "90"),
        (GOOD.replace("3-0-1-0", "3-0-1"), "3-0-1"),
        (GOOD.replace("push-up", "pushup"), "push-up"),
    ],
)
def test_a_wrong_prescription(here: Run, tmp_path: Path, empty_room: Path, prescription: str, word: str) -> None:
    (tmp_path / "today.toml").write_text(prescription, encoding="utf-8")
    refused(here("check", empty_room, "today.toml", "--json", "today.json"), "today.toml", word)
    assert files(tmp_path) == {"today.toml"}


def test_a_missing_prescription(here: Run, empty_room: Path) -> None:
    refused(here("check", empty_room, "nowhere.toml"), "nowhere.toml")


@pytest.mark.parametrize("command", [["measure"], ["draw", "-o", "out.mp4"]])
def test_an_unknown_variant_names_the_near_one(here: Run, empty_room: Path, command: list[str]) -> None:
    arguments = [*command, empty_room, "--movement", "push-up", "--variant", "hand-raised"]
    refused(here(*arguments), "push-up has no variant 'hand-raised'", "did you mean 'hands-raised'?")


def test_a_prescription_names_its_own_variant(here: Run, empty_room: Path) -> None:
    arguments = ["-o", "out.mp4", "--prescription", "today.toml", "--variant", "knees"]
    refused(here("draw", empty_room, *arguments), "--variant goes with --movement")


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the packages bring their libraries")
@pytest.mark.parametrize("command", [["measure", "--movement", "push-up"], ["check"]])
def test_a_missing_system_library(
    tmp_path: Path, empty_room: Path, monkeypatch: pytest.MonkeyPatch, command: list[str]
) -> None:
    monkeypatch.setitem(system._LINUX_LIBRARIES, "libnowhere.so.9", "libnowhere9")
    (tmp_path / "today.toml").write_text(GOOD, encoding="utf-8")
    name, *options = command
    arguments = [name, str(empty_room), *(options or [str(tmp_path / "today.toml")])]
    run = CliRunner().invoke(app, arguments)
    assert run.exit_code == 2
    assert run.stdout == ""
    assert run.stderr.splitlines() == [
        (
            "plumbrep: the system libraries libnowhere.so.9 are missing: install them "
            "(Debian, Ubuntu: apt-get install libnowhere9)"
        )
    ]


def test_a_variant_of_nothing(here: Run, empty_room: Path) -> None:
    refused(here("measure", empty_room, "--variant", "knees"), "--variant goes with --movement")


@pytest.mark.parametrize("arguments", [[], ["--movement", "push-up", "--prescription", "today.toml"]])
def test_drawing_needs_one_word_on_what_is_done(here: Run, empty_room: Path, arguments: list[str]) -> None:
    refused(here("draw", empty_room, "-o", "out.mp4", *arguments), "either --movement M or --prescription FILE")


def test_json_into_a_missing_folder_is_refused_before_measuring(here: Run, empty_room: Path) -> None:
    refused(here("measure", empty_room, "--movement", "push-up", "--json", "no/where.json"), "there is no folder")


def test_json_onto_a_folder(here: Run, tmp_path: Path, empty_room: Path) -> None:
    (tmp_path / "out").mkdir()
    refused(here("measure", empty_room, "--movement", "push-up", "--json", "out"), "out is a folder")


@pytest.mark.parametrize("option", ["--json", "-o"])
def test_the_clip_is_never_overwritten(here: Run, tmp_path: Path, empty_room: Path, option: str) -> None:
    clip = tmp_path / "set.mp4"
    clip.write_bytes(empty_room.read_bytes())
    command = "draw" if option == "-o" else "measure"
    refused(here(command, clip, "--movement", "push-up", option, "./set.mp4"), "is the clip itself")
    assert clip.read_bytes() == empty_room.read_bytes()


def test_missing_weights(here: Run, empty_room: Path) -> None:
    refused(here("measure", empty_room, "--movement", "push-up", "--weights", "no.task"), "no.task")


def test_a_file_name_cannot_break_the_line_or_paint_the_terminal(here: Run) -> None:
    run = here("measure", "a\n\x1b[31mb.mp4", "--movement", "push-up")
    refused(run)
    assert "\x1b" not in run.stderr


def test_square_brackets_in_a_name_are_shown_as_they_are(here: Run) -> None:
    refused(here("measure", "[bold]set[/bold].mp4", "--movement", "push-up"), "[bold]set[/bold].mp4")


@pytest.mark.parametrize(
    "arguments",
    [
        ["measure", "--no-such-option"],
        ["no-such-command"],
        ["measure"],
        ["measure", "clip.mp4", "--movement", "push-up", "--height-cm", "tall"],
        ["measure", "clip.mp4", "--movement", "push-up", "--height-cm", "17.6"],
        ["check", "clip.mp4"],
    ],
)
def test_a_wrong_command_line(here: Run, arguments: list[str]) -> None:
    run = here(*arguments)
    assert run.returncode == 2
    assert run.stdout == ""
    assert "Traceback" not in run.stderr
    assert run.stderr.splitlines()[-1].startswith("Error: ")

"""The catalogue as people see it: the command, docs/movements.md and the schema; and that a movement is one file."""

import re
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from models.errors import MovementError
from models.movements import Movement, load_movement, movement_names
from models.movements.catalogue import FOLDER_VARIABLE, parse_movement
from models.movements.movement import Group
from models.movements.schema import movement_schema
from models.movements.variant import Variant
from models.movements.views import View
from models.prescription import parse_prescription
from models.scaling import ScalingName
from models.verdict import judge
from service.catalogue import FROM, GROUPS, SCALINGS, describe
from service.cli import app
from service.measuring import measure_clip
from tests.models.movements.own import HIP_HINGE, PAGE, write
from tests.service.conftest import ROOT
from tests.service.movement_docs import SCHEMA, renewed, schema
from tests.service.shortened import beginning
from vision.in_position import time_in_position

TEXT = PAGE.read_text(encoding="utf-8")
MESSAGES = re.findall(r"^hip-hinge\.toml.*: .*$", TEXT, re.MULTILINE)
FILES = sorted(file.name for file in files("models.movements").iterdir() if file.name.endswith(".toml"))
CHECK = Draft202012Validator(movement_schema())
ONE_SQUAT = 6.3
"""Seconds of the clip in which there is one."""


def shown(*arguments: str) -> str:
    result = CliRunner(env={"COLUMNS": "116"}).invoke(app, ["movements", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of own movements with one in it."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return write(tmp_path)


def test_the_page_is_what_the_catalogue_says() -> None:
    assert renewed(TEXT) == TEXT, "renew it: python -m tests.service.movement_docs"


def test_the_schema_file_is_the_types_own() -> None:
    assert SCHEMA.read_text(encoding="utf-8") == schema(), "renew it: python -m tests.service.movement_docs"
    Draft202012Validator.check_schema(movement_schema())


@pytest.mark.parametrize("name", FILES)
def test_each_file_of_the_catalogue_keeps_to_the_schema(name: str) -> None:
    CHECK.validate(tomllib.loads(files("models.movements").joinpath(name).read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (('title = "Hip hinge"\n', ""), "title"),
        (('group = "legs"', 'group = "arms"'), "arms"),
        (('lowering = "grows"', 'lowerin = "grows"'), "lowerin"),
        (("straight = 5", 'straight = "5"'), "'5' is not"),
        (("[views.side]", "[views.above]"), "above"),
    ],
)
def test_the_schema_finds_what_an_editor_should(change: tuple[str, str], wrong: str) -> None:
    assert change[0] in HIP_HINGE
    CHECK.validate(tomllib.loads(HIP_HINGE))
    found = list(CHECK.iter_errors(tomllib.loads(HIP_HINGE.replace(*change, 1))))
    assert any(wrong in error.message for error in found)


@pytest.mark.parametrize(
    ("message", "change"),
    list(
        zip(
            MESSAGES,
            [
                ('lowering = "grows"', 'lowerin = "grows"'),
                ("straight = 5", 'straight = "5"'),
                ('tilt = "lean"', 'tilt = "body"'),
            ],
            strict=True,
        )
    ),
)
def test_the_messages_on_the_page_are_the_programs_own(message: str, change: tuple[str, str]) -> None:
    with pytest.raises(MovementError) as caught:
        parse_movement(HIP_HINGE.replace(*change, 1).encode(), "hip-hinge", "hip-hinge.toml")
    assert str(caught.value) == message


@pytest.mark.parametrize("key", [*Movement.model_fields, *Variant.model_fields])
def test_each_key_of_a_file_is_explained(key: str) -> None:
    table = TEXT[TEXT.index("## How to read a file") : TEXT.index("## A movement of your own")]
    assert key == "name" or re.search(rf"`\[*{key}\b", table)


def test_every_word_has_a_title() -> None:
    assert set(GROUPS) == set(get_args(Group))
    assert set(FROM) == set(get_args(View))
    assert set(SCALINGS) == set(get_args(ScalingName))


def test_the_list_stands_in_groups() -> None:
    lines = [line.strip() for line in shown().splitlines()]
    heads = [line for line in lines if line in GROUPS.values()]
    assert heads == list(GROUPS.values())
    assert (
        lines.index("Pull") < next(i for i, line in enumerate(lines) if line.startswith("row ")) < lines.index("Legs")
    )
    assert all(any(line.startswith(f"{name} ") for line in lines) for name in movement_names())


@pytest.mark.parametrize("name", movement_names())
def test_a_movement_is_shown_whole(name: str) -> None:
    movement, text = load_movement(name), shown(name)
    assert text.splitlines() == list(describe(movement))
    parts = [*movement.faults, *movement.cautions, *movement.variants, *movement.scalings.how.values()]
    parts += [line for view in movement.views.values() for line in (*view.shows, *view.cannot_show)]
    parts += [entry.title for entry in movement.standards]
    assert all(part in text for part in parts)


def test_lines_are_short_enough_to_read() -> None:
    assert max(len(line) for name in movement_names() for line in describe(load_movement(name))) < 150


def test_one_file_adds_a_movement_to_the_list(own: Path) -> None:
    text = shown()
    assert re.search(r"^  hip-hinge +reps +hip +side, front +-", text, re.MULTILINE)
    assert text.replace("\n", "").endswith(f"hip-hinge is your own: {own}")
    assert "5° (standing) to 75° (trunk low)" in shown("hip-hinge")


@pytest.mark.usefixtures("own")
def test_one_file_adds_a_movement_to_the_measuring(tmp_path: Path) -> None:
    """In a squat the hips bend as often as the knees do: once in the beginning of the clip."""
    plan = parse_prescription(b'movement = "hip-hinge"\nreps = 1\nlimits.bent.hip.low = 50', "plan.toml")
    clip = beginning(ROOT / "sample_clips" / "single-leg-squat.mp4", ONE_SQUAT, tmp_path / "one.mp4")
    measured = measure_clip(clip, plan.as_movement(), hold=False, height_cm=None, weights=None)
    document = judge(measured.document, plan, time_in_position(measured.motion))
    assert (document.movement, len(document.sets)) == ("hip-hinge", 1)
    assert document.not_measured == load_movement("hip-hinge").not_measured
    assert document.sets[0].summary.whole == 1
    assert [check.name for check in document.sets[0].reps[0].checks or ()] == ["bent.hip"]

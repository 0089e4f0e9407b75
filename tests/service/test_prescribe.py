"""`plumbrep prescribe`, as a user runs it."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from models.movements import load_movement
from models.prescription import read_prescription
from service.cli import app


def run(*arguments: object) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["prescribe", *map(str, arguments)])
    return done.exit_code, done.stdout, done.stderr


def test_it_prints_a_prescription_with_the_cautions_above_it() -> None:
    status, text, errors = run("push-up", "reps=8", "tempo=5-1-1-0", "limits.bent.elbow.low=85")
    assert (status, errors) == (0, "")
    comments, _, plan = text.partition("\n\n")
    cautions = [line.removeprefix("# ") for line in comments.splitlines()]
    assert cautions == [*load_movement("push-up").cautions, "This measures; it does not diagnose."]
    assert plan == 'movement = "push-up"\nreps = 8\ntempo = "5-1-1-0"\n\n[limits]\nbent.elbow = { low = 85 }\n'


def test_what_it_writes_is_read_back(tmp_path: Path) -> None:
    out = tmp_path / "today.toml"
    status, text, _ = run("pull-up", "lowering_only=true", "variant=rings", "note=Step up on a box.", "-o", out)
    assert (status, text) == (0, f"wrote {out}\n")
    plan = read_prescription(out)
    assert (plan.movement, plan.variant, plan.lowering_only, plan.note) == (
        "pull-up",
        "rings",
        True,
        "Step up on a box.",
    )


def test_usual_limits_are_added_where_nothing_is_said(tmp_path: Path) -> None:
    out = tmp_path / "today.toml"
    run("push-up", "reps=8", "limits.bent.elbow.low=70", "--usual", "-o", out)
    limits, asked = read_prescription(out).rep_limits(), load_movement("push-up").asked
    assert limits["bent.elbow"].low == 70
    assert limits["straight.elbow"] == asked.straight.elbow
    assert asked.straight.elbow is not None


def test_usual_limits_do_not_move_a_hold_from_where_it_is_asked(tmp_path: Path) -> None:
    out = tmp_path / "today.toml"
    assert load_movement("pull-up").asked.posture.elbow is not None
    run("pull-up", "hold=10", "hold_at=90", "--usual", "-o", out)
    elbow = read_prescription(out).hold_limits()["posture.elbow"]
    assert (elbow.low, elbow.high) == (75, 105)


def test_a_step_of_a_path_becomes_a_prescription(tmp_path: Path) -> None:
    path = tmp_path / "path.json"
    arguments = ["path", "--owns", "pull-up lowering_only=true", "--goal", "pull-up", "--json", str(path)]
    assert CliRunner().invoke(app, arguments).exit_code == 0
    steps = json.loads(path.read_text(encoding="utf-8"))["steps"]
    for n, step in enumerate(steps):
        status, _, _ = run("--path", path, "--step", n, "-o", tmp_path / "step.toml")
        assert status == 0
        plan = read_prescription(tmp_path / "step.toml")
        assert plan.movement == step["prescription"]["movement"]
        assert plan.lowering_only == step["prescription"]["lowering_only"]
    status, _, errors = run("--path", path, "--step", len(steps))
    assert (status, errors) == (2, f"plumbrep: path.json has no step {len(steps)}; its last one is {len(steps) - 1}\n")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "name a movement"),
        (["push-up", "--step", "1"], "--path and --step go together"),
        (["push-up", "--path", "x.json", "--step", "1"], "the step of a path says everything"),
        (["--path", "nowhere.json", "--step", "1"], "cannot read nowhere.json"),
        (["push-up", "reps=8", "-o", "no/where.toml"], "there is no folder"),
        (["push-up", "repz=8"], "unknown key 'repz'; did you mean 'reps'?"),
        (
            ["push-up", "reps=8", "limits.straight.elbow={low=30,high=60}", "limits.bent.elbow.high=70", "--usual"],
            "range",
        ),
    ],
)
def test_what_is_wrong_is_said_in_one_line_and_nothing_is_written(
    arguments: list[str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    status, text, errors = run(*arguments)
    assert (status, text) == (2, "")
    (line,) = errors.splitlines()
    assert says in line
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_no_path_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.json").write_text("{}", encoding="utf-8")
    status, _, errors = run("--path", tmp_path / "x.json", "--step", 0)
    assert (status, errors) == (2, "plumbrep: x.json is not a path; write one with plumbrep path --json\n")

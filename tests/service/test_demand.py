"""`plumbrep demand`, as a user runs it: tables, answers, JSON, picture, and what it refuses."""

import json
import re
from pathlib import Path

import pytest
from PIL import Image
from typer.testing import CliRunner

from models.body.athlete import Athlete
from models.body.catalogue import demand
from models.movements import load_movement
from models.quantity import Measured, Q
from service.asked import read_asked
from service.cli import app
from service.demand_plot import demand_figure
from service.demanding import FULL, Demands, of_prescription, of_variants
from tests.by_hand import plank, push_ups

MAN = ("--sex", "man", "--height-cm", "178", "--mass-kg", "75", "--age", "30")
TOMASZ = Athlete(sex="man", height_cm=178, mass_kg=75, age=30)


def run(*arguments: object, width: int = 200) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["demand", *map(str, arguments)], env={"COLUMNS": str(width)})
    return done.exit_code, done.stdout, done.stderr


def number(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


def row(text: str, name: str) -> list[str]:
    (line,) = [line for line in text.splitlines() if line.startswith(f"{name} ")]
    return line.split()


def test_it_tells_the_load_the_moments_and_the_share_of_the_full_version() -> None:
    status, text, errors = run("push-up", "feet_raised_cm=40", *MAN)
    assert (status, errors) == (0, "")
    asked = demand(load_movement("push-up"), TOMASZ, scalings=read_asked(["push-up", "feet_raised_cm=40"]).scalings())
    cells = row(text, "bent")
    assert cells[1:3] == [f"{number(asked.hands):.1f}", f"±{asked.hands.U95:.1f}"]  # type: ignore[union-attr]
    assert f"{number(asked.moments['elbow']):.1f}" in cells
    assert f"{number(asked.ratio):.1f}" in cells
    assert "Moments are in Nm, of both sides together" in text
    assert f"Limited by the load at the hands: {number(asked.hands):.1f} ±" in text
    assert "Stop on pain" in text
    assert "not whether an athlete can bear it" in text


def test_without_mass_and_height_moments_are_shares() -> None:
    text = run("front-lever")[1]
    assert "Moments are in % of body weight x height" in text
    assert "Note: The sex is not told" in text


def test_what_bears_nothing_has_no_column() -> None:
    assert "feet, %" not in run("pull-up")[1]
    assert "feet, %" in run("push-up")[1]


def test_lowering_only_is_told_as_it_is_done() -> None:
    text = run("pull-up", "lowering_only=true")[1]
    assert "As it is done here, lowered only, it is 76.9 ±0.0 % of the full version" in text
    assert "As it is done here" not in run("pull-up")[1]


def test_a_partners_help_has_no_number_and_that_is_said() -> None:
    status, text, _ = run("pull-up", "partner.at=feet")
    assert status == 0
    assert row(text, "bent")[1] == "-"
    assert "no value: a partner helps" in text


def test_variants_are_compared_at_their_hard_end() -> None:
    text = run("front-lever", "variant=tuck", *MAN, "--variants")[1]
    _, _, below = text.partition("Variants of front-lever")
    shares = {name: float(re.split(r" +", row(below, name)[-2])[-1]) for name in ("tuck", "advanced-tuck", "straddle")}
    assert list(shares.values()) == sorted(shares.values())
    assert row(below, "(in full)")[-2] == "100.0"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["row", "variant=rings", "--find", "body-angle", "--percent", "60"], r"A body angle of \d+\.\d ±\d+\.\d deg makes the load at the hands 60 % of body weight"),
        (["push-up", "--find", "feet-raised", "--percent", "76"], r"Feet \d+ ±\d+ cm up makes the load at the hands 76 % of body weight"),
        (["pull-up", "--find", "band", "--percent", "80", "--mass-kg", "75"], r"A band that takes off 1\d\.\d ±\d\.\d kg at the hardest point makes it 80 % of the full pull-up"),
        (["pull-up", "--find", "load", "--percent", "110", "--mass-kg", "75"], r"An added load of 7\.5 ±\d\.\d kg makes it 110 % of the full pull-up"),
        (["push-up", "--find", "hands-raised", "--percent", "80", "--of", "full"], r"Hands \d+ ±\d+ cm up makes it 80 % of the full push-up"),
        (["pull-up", "--find", "band", "--percent", "80"], r"has no value: .*mass"),
    ],
)  # fmt: skip
def test_it_finds_the_scaling_that_asks_so_much(arguments: list[str], says: str) -> None:
    status, text, _ = run(*arguments)
    assert status == 0
    assert re.search(says, text)


def test_what_it_finds_asks_as_much() -> None:
    found = json.loads(run("row", "variant=rings", "--find", "body-angle", "--percent", "60", *MAN, "--json", "-")[1])
    angle = found["answer"]["value"]["value"]
    asked = of_prescription(read_asked(["row", "variant=rings", f"body_angle={angle}"]), TOMASZ)[0]
    assert number(asked.demand.hands) == pytest.approx(60, abs=0.01)


def test_a_measured_document_is_told_rep_by_rep(tmp_path: Path) -> None:
    (tmp_path / "set.json").write_text(push_ups(judged=False).model_dump_json(), encoding="utf-8")
    status, text, _ = run(tmp_path / "set.json", *MAN)
    assert status == 0
    assert text.startswith("push-up, as measured: what it asks\n")
    loads = [float(row(text, f"rep {n}")[2]) for n in (1, 2, 3)]
    assert all(50 < load < 90 for load in loads)


def test_a_measured_hold_is_told_too(tmp_path: Path) -> None:
    (tmp_path / "hold.json").write_text(plank().model_dump_json(), encoding="utf-8")
    status, text, _ = run(tmp_path / "hold.json", *MAN)
    assert status == 0
    assert float(row(text, "hold 1")[2]) > 50


def test_a_prescription_is_told_too(tmp_path: Path) -> None:
    (tmp_path / "plan.toml").write_text('movement = "front-lever"\nvariant = "tuck"\nhold = 10\n', encoding="utf-8")
    assert run(tmp_path / "plan.toml")[1] == run("front-lever", "variant=tuck")[1]


def test_json_is_nothing_but_json_and_is_read_back(tmp_path: Path) -> None:
    status, text, errors = run("dip", "--variants", "--json", "-")
    assert (status, errors) == (0, "")
    found = Demands.model_validate_json(text)
    assert found.document == "plumbrep.demand/1"
    assert found.variants[0].name == FULL
    run("dip", "--json", tmp_path / "dip.json")
    assert Demands.model_validate_json((tmp_path / "dip.json").read_text(encoding="utf-8")).rows == found.rows


def test_a_picture_shows_each_row_and_each_variant(tmp_path: Path) -> None:
    status, _, _ = run("front-lever", "variant=tuck", "--plot", tmp_path / "lever.png")
    assert status == 0
    assert [path.name for path in tmp_path.iterdir()] == ["lever.png"]
    with Image.open(tmp_path / "lever.png") as picture:
        assert picture.format == "PNG"
        assert picture.size[0] > 600
    rows, variants = (
        of_prescription(read_asked(["front-lever", "variant=tuck"]), TOMASZ),
        of_variants(load_movement("front-lever"), TOMASZ),
    )
    figure = demand_figure(Demands(movement="front-lever", what="x", athlete=TOMASZ, rows=rows, variants=variants))
    (axes,) = figure.axes
    labels = [label.get_text() for label in axes.get_yticklabels()]
    assert labels == [*(each.name for each in reversed(variants)), "held *"]
    assert {text.get_text() for text in axes.texts} >= {"60", "76", "100"}


@pytest.mark.parametrize("width", [80, 100, 120])
def test_in_a_narrow_window_no_number_is_cut(width: int) -> None:
    _, text, _ = run("push-up", *MAN, width=width)
    assert "…" not in text
    for line in text.splitlines():
        if line.startswith(("bent", "straight")):
            assert len(line) <= width
    whole = run("push-up", *MAN)[1]
    for value in re.findall(r"-?\d+\.\d ±\d+\.\d", whole):
        assert value in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["push-up", "--find", "band"], "--find and --percent go together"),
        (["push-up", "--percent", "60"], "--find and --percent go together"),
        (["push-up", "--find", "feet-raised", "--percent", "200"], "200 % cannot be reached"),
        (["pushup"], "did you mean 'push-up'?"),
        (["push-up", "--json", "no/where.json"], "there is no folder"),
        (["push-up", "--plot", "no/where.png"], "there is no folder"),
        (["nowhere.json"], "cannot read nowhere.json"),
        (["nowhere.toml"], "cannot read nowhere.toml"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(arguments: list[str], says: str) -> None:
    status, text, errors = run(*arguments)
    assert (status, text) == (2, "")
    (line,) = errors.splitlines()
    assert says in line


def test_json_that_is_no_document_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.json").write_text("[]", encoding="utf-8")
    status, _, errors = run(tmp_path / "x.json")
    assert (status, errors) == (
        2,
        "plumbrep: x.json is not a measurement document; write one with plumbrep measure --json\n",
    )


def test_under_eighteen_nothing_is_told() -> None:
    status, text, _ = run("push-up", "--age", 15)
    assert status == 0
    assert row(text, "bent")[1:] == ["-"] * (len(row(text, "bent")) - 1)
    assert "do not apply under 18" in text

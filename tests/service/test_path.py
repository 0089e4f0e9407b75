"""`plumbrep path`, as a user runs it: the table, its notes, history, rules, JSON, picture, and what it refuses."""

import json
from pathlib import Path as File

import pytest
from PIL import Image
from typer.testing import CliRunner

from models.body.athlete import Athlete
from models.path import Available, Path, lay_path
from models.prescription.scaled import WrittenBand
from service.asked import read_asked
from service.cli import app
from service.path_plot import path_figure
from service.plans import dose, what

MAN = ("--sex", "man", "--height-cm", "178", "--mass-kg", "75", "--age", "30")
PULL_UP = ("--owns", "pull-up lowering_only=true", "--goal", "pull-up")
LEVER = ("--owns", "front-lever variant=tuck", "--goal", "front-lever")
TOMASZ = Athlete(sex="man", height_cm=178, mass_kg=75, age=30)


def run(*arguments: object, width: int = 200) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["path", *map(str, arguments)], env={"COLUMNS": str(width)})
    return done.exit_code, done.stdout, done.stderr


def steps(text: str) -> list[str]:
    return [line for line in text.splitlines() if line[:1].isdigit()]


def test_each_step_is_a_line_with_its_dose_and_its_numbers() -> None:
    status, text, errors = run(*PULL_UP, *MAN, "--bands", "5,10,20")
    assert (status, errors) == (0, "")
    assert text.startswith("From pull-up, lowering only to pull-up\n")
    lines = steps(text)
    assert [line.split()[0] for line in lines] == ["0", "1*", "2", "3"]
    assert "pull-up, band 10 kg" in lines[1]
    assert "3 x 3, 3-0-1-0" in lines[1]
    assert "+13.1" in lines[1]
    assert "assistance, lowering only" in lines[1]
    assert "100.0 ±0.0" in lines[3]


def test_a_large_step_is_put_into_words_and_the_rules_are_told() -> None:
    text = run(*PULL_UP)[1]
    assert (
        "* Step 1 asks 18.2 % more than step 0, over 10 %: stay with pull-up, lowering only until 3 x 3, 8; then start with 4 x 5 s."
        in text
    )
    assert "Put in because the next lever alone is too large a step: 1." in text
    assert "Move on after 2 sessions in a row in which every set met its dose, without pain." in text
    assert "Step back after 2 sessions in a row in which fewer than 50 % of the sets did. On pain, stop." in text
    assert "the coach decides" in text
    assert "Stop on pain in the elbow or shoulder" in text


def test_the_cautions_are_those_of_every_movement_on_the_way() -> None:
    text = run("--owns", "pike-push-up feet_raised_cm=60", "--goal", "handstand-push-up")[1]
    assert "step down from it at the end" in text  # the box of the pike push-up
    assert "A spotter stands beside" in text


def test_after_pain_no_step_up_is_offered() -> None:
    text = run(*LEVER, "--pain")[1]
    assert [line.split()[0] for line in steps(text)] == ["0"]
    assert "No step up: the athlete has reported pain" in text
    assert "Ask a qualified coach or a clinician" in text
    assert "Move on after" not in text


HISTORY = """
[[sessions]]
date = 2026-03-02
sets = ["met", "met", "met", "met"]
prescription = { movement = "front-lever", variant = "tuck", sets = 4, hold = 10 }
[[sessions]]
date = 2026-03-05
sets = ["met", "met", "met", "met"]
prescription = { movement = "front-lever", variant = "tuck", sets = 4, hold = 10 }
"""


def test_what_is_owned_comes_from_the_history_and_whether_to_go_on(tmp_path: File) -> None:
    log = tmp_path / "log.toml"
    log.write_text(HISTORY, encoding="utf-8")
    status, text, _ = run("--history", log, "--goal", "front-lever")
    assert status == 0
    assert "front-lever, tuck" in steps(text)[0]
    assert "Now: go one step on (2 sessions in a row with all of the sets met)." in text
    log.write_text(
        HISTORY + HISTORY.replace("met", "missed").replace("-03-0", "-04-0").replace("tuck", "one-leg"),
        encoding="utf-8",
    )
    text = run("--history", log, "--goal", "front-lever")[1]
    assert "front-lever, tuck" in steps(text)[0]
    assert "Now: go one step back (2 sessions in a row with fewer than 50 % of the sets met)." in text


def test_pain_in_the_history_halts_until_it_is_cleared(tmp_path: File) -> None:
    log = tmp_path / "log.toml"
    extra = HISTORY.partition("[[sessions]]")[2].partition("[[sessions]]")[0].replace("03-02", "03-08")
    hurt = f"{HISTORY}[[sessions]]{extra}pain = true\n"
    log.write_text(hurt, encoding="utf-8")
    text = run("--history", log, "--goal", "front-lever")[1]
    assert len(steps(text)) == 1
    assert "No step up: pain was reported on 2026-03-08, and nobody has cleared it since." in text
    log.write_text(f'{hurt}[[cleared]]\ndate = 2026-03-15\nby = "Ilka Brandt"\n', encoding="utf-8")
    assert len(steps(run("--history", log, "--goal", "front-lever")[1])) > 1


def test_nothing_owned_is_said(tmp_path: File) -> None:
    log = tmp_path / "log.toml"
    log.write_text(HISTORY.replace("met", "missed"), encoding="utf-8")
    status, _, errors = run("--history", log, "--goal", "front-lever")
    assert status == 2
    assert "the history shows nothing that is owned" in errors


def test_other_rules_lay_another_path_and_are_told(tmp_path: File) -> None:
    rules = tmp_path / "rules.toml"
    rules.write_text(
        "step.largest = 40\nmove_on = { sessions = 3, sets = 80 }\n[start]\nflagged = 25", encoding="utf-8"
    )
    text = run(*PULL_UP, "--rules", rules)[1]
    assert len(steps(text)) == 2
    assert "Move on after 3 sessions in a row in which 80 % of the sets met its dose" in text


def test_what_is_available_may_stand_in_a_file(tmp_path: File) -> None:
    there = tmp_path / "gym.toml"
    there.write_text("boxes_cm = [20, 45]\n[[bands]]\nkg = 10\nat = 'feet'\n[[bands]]\nkg = 5", encoding="utf-8")
    text = run(*PULL_UP, *MAN, "--available", there)[1]
    assert "band 10 kg" in text
    assert "band 5 kg" in text
    wide = tmp_path / "rules.toml"
    wide.write_text("step.largest = 30", encoding="utf-8")
    owns = "push-up variant=hands-raised hands_raised_cm=90"
    text = run("--owns", owns, "--goal", "push-up", "--available", there, "--rules", wide)[1]
    assert [line.split(" cm up")[0].split()[-1] for line in steps(text) if "cm up" in line] == ["90", "45", "20"]


def test_the_documented_files_are_read(tmp_path: File) -> None:
    page = (File(__file__).parents[2] / "docs" / "paths.md").read_text(encoding="utf-8")
    rules, log, there = (block.partition("```")[0] for block in page.split("```toml\n")[1:])
    for name, text in (("rules.toml", rules), ("log.toml", log), ("gym.toml", there)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    arguments = [
        "--history",
        tmp_path / "log.toml",
        "--rules",
        tmp_path / "rules.toml",
        "--available",
        tmp_path / "gym.toml",
    ]
    status, text, errors = run(*arguments, "--goal", "row variant=rings body_angle=20", *MAN)
    assert (status, errors) == (0, "")
    assert "row, rings, body at 45°" in steps(text)[0]
    plain = run(
        "--owns", "row variant=rings body_angle=45 sets=3 reps=5", "--goal", "row variant=rings body_angle=20", *MAN
    )[1]
    assert steps(plain)[1:] == steps(text)[1:]  # the rules on the page are the usual ones


def test_json_is_nothing_but_json_and_is_read_back() -> None:
    status, text, errors = run(*LEVER, "--json", "-")
    assert (status, errors) == (0, "")
    found = Path.model_validate_json(text)
    assert found.document == "plumbrep.path/1"
    assert json.loads(text)["steps"][0]["prescription"]["variant"] == "tuck"
    assert found.steps[0].prescription == read_asked(["front-lever", "variant=tuck"])


def test_a_picture_shows_the_demand_along_the_way(tmp_path: File) -> None:
    assert run(*PULL_UP, *MAN, "--bands", "5,10", "--plot", tmp_path / "way.png")[0] == 0
    assert [path.name for path in tmp_path.iterdir()] == ["way.png"]
    with Image.open(tmp_path / "way.png") as picture:
        assert picture.format == "PNG"
    bands = Available(bands=(WrittenBand(kg=5), WrittenBand(kg=10)))
    found = lay_path(read_asked(["pull-up", "lowering_only=true"]), read_asked(["pull-up"]), TOMASZ, available=bands)
    (axes,) = path_figure(found).axes
    labels = [label.get_text() for label in axes.get_yticklabels()]
    assert labels == [f"{what(s.prescription)}   {dose(s.prescription)}   {s.n}" for s in found.steps]
    assert [text.get_text() for text in axes.texts if "%" in text.get_text()] == ["+13 %", "+7 %", "+7 %"]
    assert [text.get_fontweight() for text in axes.texts if "%" in text.get_text()] == ["bold", "normal", "normal"]


@pytest.mark.parametrize("width", [80, 100])
def test_in_a_narrow_window_no_number_is_cut(width: int) -> None:
    text = run(*PULL_UP, *MAN, "--bands", "5,10", width=width)[1]
    assert "…" not in text
    assert all(len(line) <= width for line in steps(text))
    for value in ("76.9 ±0.0", "87.0 ±3.9", "+13.1"):
        assert value in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--goal", "pull-up"], "say what is owned: either --owns WHAT or --history FILE"),
        ([*PULL_UP, "--history", "x.toml"], "cannot read x.toml"),
        ([*PULL_UP, "--bands", "5,ten"], "--bands: '5,ten' is not a list of numbers up to 300"),
        ([*PULL_UP, "--boxes", "-5"], "--boxes: '-5' is not a list of numbers"),
        ([*PULL_UP, "--rules", "x.toml"], "cannot read x.toml"),
        ([*PULL_UP, "--available", "x.toml"], "cannot read x.toml"),
        (["--owns", "pull-up", "--goal", "pull-up"], "the goal is what is owned already"),
        (["--owns", "pullup", "--goal", "pull-up"], "unknown movement 'pullup'"),
        (["--owns", "pull-up", "--goal", "pull-up lowering_only=true"], "less than what is owned; name a harder goal"),
        ([*PULL_UP, "--age", "15"], "do not apply under 18"),
        ([*PULL_UP, "--json", "no/where.json"], "there is no folder"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(arguments: list[str], says: str) -> None:
    status, text, errors = run(*arguments)
    assert (status, text) == (2, "")
    (line,) = errors.splitlines()
    assert says in line


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("front-lever variant=tuck", ("front-lever, tuck", "4 x 10 s")),
        ("push-up variant=hands-raised hands_raised_cm=30", ("push-up, hands 30 cm up", "3 x 5, 3-0-1-0")),
        ("pull-up variant=rings lowering_only=true", ("pull-up, rings, lowering only", "3 x 3, 5")),
        ("pull-up hold_at=90 load.kg=2.5", ("pull-up, 2.5 kg added, held at 90°", "4 x 10 s")),
        ("push-up hold=20", ("push-up, held", "1 x 20 s")),
        ("row body_angle=30 band.kg=10 band.at=hips", ("row, body at 30°, band 10 kg", "3 x 5, 3-0-1-0")),
        ("pull-up partner.at=feet reps=4", ("pull-up, with a partner", "1 x 4")),
        ("push-up stability=rings", ("push-up, on rings", "3 x 5, 3-0-1-0")),
    ],
)
def test_a_prescription_in_a_few_words(words: str, says: tuple[str, str]) -> None:
    plan = read_asked(words.split())
    assert (what(plan), dose(plan)) == says

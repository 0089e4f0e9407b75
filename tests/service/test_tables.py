import io

import pytest
from rich.console import Console

from models.document import Document
from models.movements import load_movement, movement_names
from models.quantity import Unmeasured
from service.tables import PLAIN_WIDTH, show
from tests.by_hand import plank, posture, push_ups


def shown(document: Document, width: int = PLAIN_WIDTH) -> str:
    page = io.StringIO()
    show(document, Console(file=page, width=width, highlight=False, markup=False, emoji=False))
    return page.getvalue()


def row(text: str, *starts: str) -> list[str]:
    """The cells of the one line whose first cells are `starts`."""
    (cells,) = [line.split() for line in text.splitlines() if line.split()[: len(starts)] == list(starts)]
    return cells


def test_a_rep_is_one_line_with_tempo_in_trade_order() -> None:
    cells = row(shown(push_ups()), "2", "6.00")
    assert cells[2:11] == ["whole", "3.00", "±0.08", "0.50", "±0.08", "1.00", "±0.08", "0.50", "±0.08"]


def test_a_rep_shows_the_body_line_and_the_driving_angle_at_both_ends() -> None:
    text = shown(push_ups())
    assert row(text, "2", "6.00")[11:19] == ["18.0", "±1.5", "6.0", "±1.5", "5.0", "±6.0", "96.0", "±6.0"]
    headings = next(line for line in text.splitlines() if "verdict" in line)
    assert headings.count("straight, deg") == headings.count("bent, deg") == 2


def test_the_why_of_the_worst_check_stands_beside_the_verdict() -> None:
    text = shown(push_ups())
    assert "missed   Lowering took 2.00 ±0.08 s, not as asked (at least 2.5 s)." in text
    assert row(text, "1", "1.00")[-1] == "met"


def test_a_dash_is_explained() -> None:
    text = shown(push_ups())
    assert row(text, "1", "1.00")[9] == "-"
    assert "no value for top pause of rep 1: at the edge of the set" in text


def test_a_stroke_that_is_not_there_is_explained_too() -> None:
    document = push_ups()
    (only,) = document.sets
    reps = tuple(rep.model_copy(update={"raising": None}) for rep in only.reps)
    text = shown(document.model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)}))
    assert "no value for raising of reps 1-3: there is no such stroke" in text


def test_one_reason_for_several_columns_is_given_once() -> None:
    document = push_ups()
    (only,) = document.sets
    hidden = posture(5, 18).model_copy(update={"elbow": Unmeasured(reason="hidden")})
    reps = tuple(rep.model_copy(update={"straight": hidden, "bent": hidden}) for rep in only.reps[:2])
    text = shown(document.model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)}))
    assert "no value for elbow straight and elbow bent of reps 1-2: hidden" in text
    assert text.count("hidden") == 1


def test_a_change_that_is_not_known_is_explained_beside_one_that_is() -> None:
    text = shown(push_ups())
    assert "Change from rep to rep: lowering -0.50 ±0.10 s, range no value (fewer than two reps)" in text


def test_without_a_prescription_there_is_no_verdict() -> None:
    text = shown(push_ups(judged=False))
    assert "verdict" not in text
    assert "missed" not in text


def test_a_hold_shows_posture_drift_and_sway() -> None:
    text = shown(plank())
    cells = row(text, "1", "3.00")
    assert cells[2:] == [
        "8.00",
        "±0.10",
        "17.0",
        "±1.5",
        "4.0",
        "±6.0",
        "2.0",
        "±6.0",
        "-1.2",
        "±0.8",
        "3.1",
        "±0.6",
        "1.4",
        "±0.4",
    ]
    assert text.startswith("Push-up: 1 hold in 1 set\n")


def test_what_the_clip_cannot_show_and_the_cautions_are_always_there() -> None:
    for document in (push_ups(), plank()):
        text = shown(document)
        assert "Not checked: elbow flare (film from the front)" in text
        assert "Note: The frame rate varies" in text
        assert "Stop on pain" in text
        assert "it does not diagnose" in text


@pytest.mark.parametrize("name", movement_names())
def test_each_movement_says_when_to_stop_and_whom_to_ask(name: str) -> None:
    cautions = " ".join(load_movement(name).cautions).lower()
    assert "stop on pain" in cautions
    assert "ask a qualified coach or clinician" in cautions


def test_camera_without_a_value_gives_its_reason() -> None:
    assert "yaw no value (too few edges)" in shown(push_ups())


def test_nothing_found_is_said() -> None:
    empty = push_ups().model_copy(update={"sets": ()})
    assert shown(empty).startswith("Push-up: no rep or hold was found\n")


@pytest.mark.parametrize("width", [80, 100, 120])
def test_in_a_narrow_window_no_number_is_cut(width: int) -> None:
    text = shown(push_ups(), width)
    tables = [line for line in text.splitlines() if line[:1].isdigit()]
    assert all(len(line) <= width for line in tables)
    assert "…" not in text
    for value in ("3.00 ±0.08", "96.0 ±6.0", "18.0 ±1.5"):
        assert value in text

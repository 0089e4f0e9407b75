import pytest

from models.document import Document
from tests.by_hand import plank, push_ups
from vision.timeline import Moment, Timeline


def test_each_moment_of_push_ups_has_its_name_and_its_running_seconds() -> None:
    timeline = Timeline(push_ups())
    for time, expected in {
        0.5: Moment(),
        1.0: Moment("rep 1, met", "lowering", 0.0),
        2.5: Moment("rep 1, met", "lowering", 1.5),
        4.2: Moment("rep 1, met", "bottom pause", 0.2),
        5.0: Moment("rep 1, met", "raising", 0.5),
        5.7: Moment("rep 1, met", "top pause", 0.2),
        7.0: Moment("rep 2, met", "lowering", 1.0),
        12.0: Moment("rep 3, missed", "lowering", 1.0),
        14.4: Moment("rep 3, missed", "raising", 0.9),
        14.8: Moment(),
    }.items():
        found = timeline.at(time)
        assert (found.item, found.stage) == (expected.item, expected.stage)
        assert found.seconds == pytest.approx(expected.seconds)


def test_without_verdicts_a_rep_has_only_its_number() -> None:
    assert Timeline(push_ups(judged=False)).at(2).item == "rep 1"


def test_a_rep_that_is_not_whole_says_so() -> None:
    document = push_ups()
    reps = document.sets[0].reps
    reps = (reps[0].model_copy(update={"status": "cut_off", "verdict": None}), *reps[1:])
    assert Timeline(_with_reps(document, reps)).at(2).item == "rep 1, cut off"


def test_a_hold_runs_from_its_start() -> None:
    assert Timeline(plank()).at(7.5) == Moment("hold 1", "still", 4.5)


def test_the_climb_back_between_lowerings_is_no_pause() -> None:
    document = push_ups()
    lowered = tuple(rep.model_copy(update={"raising": None}) for rep in document.sets[0].reps)
    assert Timeline(_with_reps(document, lowered)).at(5) == Moment("rep 1, met")


def _with_reps(document: Document, reps: tuple[object, ...]) -> Document:
    only = document.sets[0].model_copy(update={"reps": reps})
    return document.model_copy(update={"sets": (only,)})

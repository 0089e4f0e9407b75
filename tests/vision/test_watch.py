"""Whom the smaller landmark model does not see, the larger one looks for."""

from pathlib import Path

import pytest

from models.errors import AthleteError, UnseenError
from models.movements import load_movement
from models.pose import weights_path
from tests.service.shortened import beginning
from tests.vision.tries import Tries
from vision.clip import Clip, open_clip
from vision.measure import measure
from vision.watch import Asked, watch

SAMPLE = Path(__file__).parents[2] / "sample_clips" / "push-up-flat.mp4"
SECONDS = 1.5
PUSH_UP = Asked(load_movement("push-up"), hold=False, sensor=None)
LOST, CROWD = UnseenError("lost from sight"), AthleteError("several people")


@pytest.fixture(scope="module")
def short(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The beginning of a push-up: long enough to be in position."""
    return beginning(SAMPLE, SECONDS, tmp_path_factory.mktemp("clips") / "short.mp4")


@pytest.fixture(scope="module")
def clip(short: Path) -> Clip:
    return open_clip(short)


def test_the_larger_model_finds_whom_the_smaller_does_not_see(short: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(monkeypatch, LOST)
    found = measure(short, PUSH_UP.movement).document
    assert tries.larger == [False, True]
    assert sum("at the second try" in note for note in found.notes) == 1


def test_whom_the_smaller_model_sees_nobody_looks_for_again(short: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(monkeypatch)
    found = measure(short, PUSH_UP.movement).document
    assert tries.larger == [False]
    assert not any("second try" in note for note in found.notes)


def test_whom_neither_sees_is_refused_as_at_first(clip: Clip, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(monkeypatch, LOST, AthleteError("film from closer"))
    with pytest.raises(UnseenError, match="lost from sight"):
        watch(clip, weights_path(), PUSH_UP)
    assert tries.larger == [False, True]


def test_who_is_seen_and_cannot_be_measured_is_not_looked_for_again(
    clip: Clip, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries = Tries(monkeypatch, CROWD)
    with pytest.raises(AthleteError, match="several people"):
        watch(clip, weights_path(), PUSH_UP)
    assert tries.larger == [False]


def test_without_a_larger_model_there_is_one_try(clip: Clip, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(monkeypatch, LOST)
    monkeypatch.setattr("vision.watch.larger_bundle", lambda _: None)
    with pytest.raises(UnseenError, match="lost from sight"):
        watch(clip, weights_path(), PUSH_UP)
    assert tries.larger == [False]

"""Parts of the program taken away from outside: each does something, and none leaves a trace."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from models.errors import AthleteError, UnseenError
from models.movements import load_movement
from models.pose import weights_path
from tests.bench import tracks
from tests.bench.ablation import BY_NAME, PARTS, Part, without
from tests.bench.cache import ROOT, digest
from tests.service.shortened import beginning
from tests.vision.drawn import STANDING, draw, helped_handstand, person, room
from tests.vision.tries import Tries
from vision import track as tracking
from vision.clip import open_clip
from vision.encode import write_clip
from vision.measure import Measurement, measure

SHAKEN = ROOT / "sample_clips" / "push-up-hands-raised.mp4"
SECONDS = 1.5
ATHLETE, NEARER, AGAIN = "athlete", "from nearer", "second try"
"""The parts that do nothing where the athlete is alone, or large in the picture, or seen at once."""


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A little of a push-up from a hand that shakes: long enough to be in position."""
    return beginning(SHAKEN, SECONDS, tmp_path_factory.mktemp("clips") / "short.mp4")


@pytest.fixture(scope="module", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(tracks, "folder", lambda: folder)
        yield folder


def measured(clip: Path, part: Part | None) -> Measurement:
    with without(part):
        return measure(clip, load_movement("push-up"))


@pytest.fixture(scope="module")
def whole(clip: Path) -> Measurement:
    return measured(clip, None)


def same(a: Measurement, b: Measurement) -> bool:
    joints = np.array_equal(a.motion.joints, b.motion.joints, equal_nan=True)
    angles = all(np.array_equal(a.motion.angles[n], b.motion.angles[n], equal_nan=True) for n in a.motion.angles)
    return joints and angles and a.document == b.document


@pytest.mark.parametrize(
    "part", [part for part in PARTS if part.name not in (ATHLETE, NEARER, AGAIN)], ids=lambda part: part.name
)
def test_every_part_does_something(part: Part, clip: Path, whole: Measurement) -> None:
    assert not same(measured(clip, part), whole)


def test_without_knowing_the_athlete_a_helper_is_followed(tmp_path: Path) -> None:
    beside, *_ = helped_handstand()
    helped = tmp_path / "helped.mp4"
    write_clip(helped, ((i / 10, beside) for i in range(15)))
    handstand = load_movement("handstand")
    with without(None):
        assert measure(helped, handstand, hold=True).document.sets
    with without(BY_NAME[ATHLETE]), pytest.raises(AthleteError, match="never seen in the position"):
        measure(helped, handstand, hold=True)


def test_without_looking_from_nearer_a_small_person_is_not_seen(tmp_path: Path) -> None:
    far = draw(room(1280, 720), person(STANDING, (300, 400), 100.0))
    small = tmp_path / "small.mp4"
    write_clip(small, ((i / 10, far) for i in range(10)))
    with without(None):
        assert tracking.track(open_clip(small), weights_path()).seen.any()
    with without(BY_NAME[NEARER]), pytest.raises(UnseenError, match="no person is seen"):
        tracking.track(open_clip(small), weights_path())


def test_without_a_second_try_the_first_decides(clip: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lost = UnseenError("the athlete is lost from sight")
    tries = Tries(monkeypatch, lost)
    assert measured(clip, None).document.notes
    tries.ends.append(lost)
    with pytest.raises(UnseenError, match="lost from sight"):
        measured(clip, BY_NAME[AGAIN])


def test_nothing_is_left_of_it(clip: Path, whole: Measurement) -> None:
    for part in PARTS:
        with without(part):
            pass
    assert same(measured(clip, None), whole)


def test_kept_tracks_are_those_that_following_gives(clip: Path, whole: Measurement) -> None:
    assert same(measure(clip, load_movement("push-up")), whole)


def test_a_clip_is_read_once(clip: Path, whole: Measurement, monkeypatch: pytest.MonkeyPatch) -> None:
    def again(*_: object, **__: object) -> None:
        raise AssertionError("read again")

    for caller, name, _ in tracks.PASSES:
        monkeypatch.setattr(caller, name, again)
    assert same(measured(clip, None), whole)


def test_old_outcomes_make_room(own_cache: Path, clip: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tracks, "MOST", 1)
    with tracks.followed_once(way="another"):
        measure(clip, load_movement("push-up"))
    for _, name, _ in tracks.PASSES:
        assert len(list((own_cache / name / digest(clip)[:24]).glob("*.pickle"))) == 1

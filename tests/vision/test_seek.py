"""When a pass over a clip is made again, and how: with made-up looks, and with the landmark model on a small person."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements import load_movement
from models.pose import weights_path
from tests.vision.drawn import STANDING, UPSIDE_DOWN, draw, person, room
from vision import seek as seeking
from vision.clip import Clip, open_clip
from vision.encode import write_clip
from vision.looks import Look, Looks, look_through
from vision.pose import Bodies
from vision.resemblance import sought
from vision.scout import WINDOW, windows
from vision.seek import seek
from vision.shown import Box
from vision.skeleton import INDEX, JOINTS

Array = NDArray[np.float64]

ATHLETE = person(UPSIDE_DOWN, (420, 300)).joints
BYSTANDER = person(STANDING, (900, 300)).joints
WANTED = sought(load_movement("handstand"))
TRUNK = [INDEX["left_shoulder"], INDEX["left_hip"]]
PICTURES = 10
EVERY = tuple(range(PICTURES))


def looks(athlete_in: tuple[int, ...], around: tuple[tuple[Array, ...], ...] = ()) -> Looks:
    """Looks that find the athlete in some of ten pictures; `around` says who is seen in the whole picture, from the first on."""
    return Looks(
        tuple(Look(i, i / 6, bodies(ATHLETE)) for i in athlete_in),
        tuple(Look(i, i / 6, bodies(*people)) for i, people in enumerate(around)),
        (1280, 720),
        PICTURES,
    )


def bodies(*people: Array) -> Bodies:
    n = len(people)
    return Bodies(np.array(people).reshape(n, len(JOINTS), 2), np.zeros((n, len(JOINTS), 3)), np.ones((n, len(JOINTS))))


def filmed(folder: Path, picture: NDArray[np.uint8]) -> Clip:
    """A second of one picture."""
    write_clip(folder / "still.mp4", ((i / 10, picture) for i in range(11)))
    return open_clip(folder / "still.mp4")


class Passes:
    """Passes whose outcomes are known beforehand, and how each was asked for."""

    def __init__(self, *outcomes: Looks) -> None:
        self.outcomes = list(outcomes)
        self.asked: list[dict[str, Any]] = []

    def __call__(self, *_: Any, **asked: Any) -> Looks:
        self.asked.append(asked)
        return self.outcomes.pop(0)


def sought_in(passes: Passes, monkeypatch: pytest.MonkeyPatch, *scouted: Array) -> list[int]:
    """Pictures in which the athlete is found after all passes."""
    monkeypatch.setattr(seeking, "look_through", passes)
    monkeypatch.setattr(seeking, "scout", lambda *_: bodies(*scouted))
    found = seek(None, Path(), WANTED)  # type: ignore[arg-type]  # the made-up passes look at no clip
    assert not passes.outcomes
    return sorted(found.athlete)


def test_an_athlete_who_is_seen_takes_one_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    assert sought_in(Passes(looks(EVERY[:8])), monkeypatch) == list(EVERY[:8])


def test_an_athlete_who_is_lost_is_looked_for_from_nearer(monkeypatch: pytest.MonkeyPatch) -> None:
    passes = Passes(looks(EVERY[:3]), looks(EVERY))
    assert sought_in(passes, monkeypatch) == list(EVERY)
    box = passes.asked[1]["within"]
    low, high = ATHLETE.min(0), ATHLETE.max(0)
    assert (low - [box.left, box.top] >= 0).all()
    assert [box.right, box.bottom] == pytest.approx(high + (high - low).max(), abs=1)


def test_the_pass_that_finds_more_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    assert sought_in(Passes(looks(EVERY[:3]), looks(EVERY[:2])), monkeypatch) == list(EVERY[:3])


def test_from_nearer_those_who_were_seen_beside_the_athlete_are_hidden(monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody seen alone may be the athlete, for who was found then may stand somewhere else."""
    passes = Passes(looks(EVERY[:3], ((ATHLETE, BYSTANDER), (BYSTANDER,), (ATHLETE,))), looks(EVERY))
    sought_in(passes, monkeypatch)
    hidden = passes.asked[1]["hidden"]
    assert [look.frame for look in hidden] == [0]
    assert np.array_equal(hidden[0].candidates.points, BYSTANDER[None])


@pytest.mark.parametrize("nearer", [2, 10])
def test_others_are_painted_over_in_what_the_better_pass_looked_at(
    nearer: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No look round the picture shows somebody who does what is wanted, so the athlete may be hidden by who is seen."""
    alone = ((BYSTANDER,),) * 3
    passes = Passes(looks(EVERY[:3], alone), looks(EVERY[:nearer], alone), looks(EVERY[:1]))
    sought_in(passes, monkeypatch)
    _, closer, painted = passes.asked
    assert painted["within"] == (closer["within"] if nearer > 3 else None)
    assert [look.frame for look in painted["hidden"]] == [0, 1, 2]


def test_a_clip_that_shows_nobody_is_not_looked_at_again(monkeypatch: pytest.MonkeyPatch) -> None:
    assert sought_in(Passes(looks(())), monkeypatch) == []


def test_whom_no_look_finds_is_looked_for_where_a_scout_saw_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of several the one who does what is said to be done."""
    passes = Passes(looks(()), looks(EVERY))
    assert sought_in(passes, monkeypatch, BYSTANDER, ATHLETE) == list(EVERY)
    box = passes.asked[1]["within"]
    assert (box.right - ATHLETE[:, 0].max()) == pytest.approx(np.ptp(ATHLETE, axis=0).max(), abs=1)


def test_windows_cover_the_picture_and_overlap_by_half() -> None:
    for size in ((1280, 720), (720, 1280), (640, 640), (641, 363)):
        covered = np.zeros(size[::-1], int)
        for window in windows(*size):
            assert max(window.right - window.left, window.bottom - window.top) <= WINDOW * max(size)
            window.of(covered)[:] += 1
        assert covered.min() >= 1
        assert covered[size[1] // 2, size[0] // 2] >= 2


def test_a_small_person_is_found_in_a_large_picture(tmp_path: Path) -> None:
    """An eighth of the picture's width high: no look at the whole picture finds them."""
    who = person(STANDING, (300, 400), 90.0)
    clip = filmed(tmp_path, draw(room(1280, 720), who))
    assert not look_through(clip, weights_path()).close
    found = seek(clip, weights_path(), None)
    assert len(found.athlete) >= 5
    for body in found.athlete.values():
        assert np.linalg.norm(body.points[0, TRUNK] - who.joints[TRUNK], axis=-1).mean() < 8


def test_a_part_of_the_picture_tells_where_bodies_are_in_all_of_it(tmp_path: Path) -> None:
    """Two people, of whom the box leaves one."""
    who, other = person(STANDING, (300, 400), 60.0), person(STANDING, (900, 400), 60.0)
    clip = filmed(tmp_path, draw(draw(room(1280, 720), who), other))
    found = look_through(clip, weights_path(), within=Box(150, 250, 450, 550))
    assert found.size == (1280, 720)
    assert len(found.close) == found.pictures >= 5
    for look in found.close:
        assert np.linalg.norm(look.candidates.points[:, TRUNK] - who.joints[TRUNK], axis=-1).mean() < 8

from math import sqrt

import pytest

from models.document import Rep
from models.errors import CorrectionError
from models.moved import FRAMES, moved
from models.quantity import Measured, Unmeasured
from tests.by_hand import push_ups, q

FRAME = 1 / 30
HAND = FRAMES * FRAME / sqrt(3)


def _rep(n: int) -> Rep:
    """Down from 1 to 4 s, up from 4.5 to 5.5 s; the second 5 s later, after a top pause of 0.5 s."""
    return push_ups().sets[0].reps[n - 1]


def _measured(found: object) -> Measured:
    assert isinstance(found, Measured)
    return found


def test_one_end_keeps_all_of_the_machines_doubt() -> None:
    found = moved(_rep(1), {"lowering.start": 1.2}, FRAME)
    lowering = _measured(found["lowering"])
    assert lowering.value == pytest.approx(2.8)
    assert lowering.u == pytest.approx(sqrt((0.08 / 1.96) ** 2 + HAND**2))
    assert set(found) == {"lowering"}


def test_both_ends_by_hand_have_the_hands_doubt_alone() -> None:
    found = moved(_rep(1), {"raising.start": 4.6, "raising.end": 5.4}, FRAME)
    assert _measured(found["raising"]).value == pytest.approx(0.8)
    assert _measured(found["raising"]).u == pytest.approx(sqrt(2) * HAND)
    assert _measured(found["bottom_pause"]).value == pytest.approx(0.6)


def test_the_pause_after_the_last_stroke_grows_by_what_it_gives_up() -> None:
    found = moved(_rep(2), {"raising.end": 10.3}, FRAME)
    assert _measured(found["top_pause"]).value == pytest.approx(0.7)
    assert "top_pause" not in moved(_rep(1), {"raising.end": 5.4}, FRAME)  # it has no value at the set's edge


def test_an_unmeasured_stroke_stays_so_until_both_ends_are_put() -> None:
    rep = _rep(1)
    assert rep.raising is not None
    cut = rep.model_copy(update={"raising": rep.raising.model_copy(update={"duration": Unmeasured(reason="cut off")})})
    assert moved(cut, {"raising.end": 5.4}, FRAME)["raising"] == Unmeasured(reason="cut off")
    assert _measured(moved(cut, {"raising.start": 4.5, "raising.end": 5.4}, FRAME)["raising"]).value == pytest.approx(
        0.9
    )


def test_raising_comes_first_where_it_does() -> None:
    rep = _rep(1)
    assert rep.lowering is not None
    later = rep.lowering.model_copy(update={"start": 6.0, "end": 8.0})
    pulled = rep.model_copy(update={"lowering": later, "top_pause": q(0.5, 0.08, "s")})
    found = moved(pulled, {"lowering.start": 6.2}, FRAME)
    assert _measured(found["top_pause"]).value == pytest.approx(0.7)
    assert _measured(found["lowering"]).value == pytest.approx(1.8)


@pytest.mark.parametrize(
    ("boundaries", "said"),
    [({}, "no boundary"), ({"lowering.end": 4.7}, "raising.start"), ({"lowering.start": 4.2}, "lowering.end")],
)
def test_what_cannot_be_is_refused(boundaries: dict[str, float], said: str) -> None:
    with pytest.raises(CorrectionError, match=said):
        moved(_rep(1), boundaries, FRAME)  # type: ignore[arg-type]


def test_a_stroke_that_is_not_there_cannot_be_moved() -> None:
    lowered = _rep(1).model_copy(update={"raising": None})
    with pytest.raises(CorrectionError, match=r"raising\.end"):
        moved(lowered, {"raising.end": 5.0}, FRAME)

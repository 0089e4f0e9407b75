from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.image import imread
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from numpy.typing import NDArray

from models.document import Document
from models.limit import Limit
from models.movements import load_movement
from tests.by_hand import PUSH_UP_ELBOW, motion, plank, push_ups
from vision.band import angle_u95
from vision.measure import Measurement
from vision.motion import Motion
from vision.plot import draw, plot
from vision.view import View

LIMITS = {"bent.elbow": Limit(low=80), "straight.body": Limit(low=0, high=25), "lowering": Limit(low=2.5)}


def measured(document: Document, moved: Motion | None = None) -> Measurement:
    return Measurement(document, moved or motion(PUSH_UP_ELBOW), load_movement("push-up"))


def push_up_measurement() -> Measurement:
    return measured(push_ups())


def plank_measurement() -> Measurement:
    return measured(plank(), motion([(0, 60), (3, 4), (11, 4), (13, 80)]))


def words(where: Axes | Figure) -> list[str]:
    return [text.get_text() for text in where.findobj(Text)]


def spans(axes: Axes) -> list[tuple[float, float]]:
    shaded = [patch for patch in axes.patches if isinstance(patch, Rectangle)]
    return sorted((patch.get_x(), patch.get_x() + patch.get_width()) for patch in shaded)


def band(axes: Axes) -> NDArray[np.float64]:
    """Corner points (N, 2) of the first band: seconds, degrees."""
    return np.asarray(axes.collections[0].get_paths()[0].vertices)


def heights(line: Line2D) -> NDArray[np.float64]:
    return np.asarray(line.get_ydata(), dtype=float)


def test_reps_carry_number_and_verdict() -> None:
    names = words(draw(push_up_measurement()).axes[0])
    assert [name for name in names if "\n" in name] == ["1\nmet", "2\nmet", "3\nmissed"]


def test_a_rep_that_is_not_whole_says_so_beside_its_verdict() -> None:
    document = push_ups()
    (only,) = document.sets
    reps = (*only.reps[:2], only.reps[2].model_copy(update={"status": "cut_off", "verdict": "unsure"}))
    cut = document.model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)})
    names = words(draw(measured(cut)).axes[0])
    assert "3 cut off\nunsure" in names


def test_strokes_and_the_pauses_between_them_are_shaded_where_they_are() -> None:
    driving = draw(push_up_measurement()).axes[1]
    expected = [
        (1, 4),
        (4, 4.5),
        (4.5, 5.5),
        (5.5, 6),
        (6, 9),
        (9, 9.5),
        (9.5, 10.5),
        (10.5, 11),
        (11, 13),
        (13, 13.5),
        (13.5, 14.5),
    ]
    assert np.allclose(spans(driving), expected)


def test_stretches_differ_without_colour() -> None:
    driving = draw(push_up_measurement()).axes[1]
    assert len({patch.get_hatch() for patch in driving.patches}) == 4


def test_the_climb_back_of_lowering_only_reps_is_no_pause() -> None:
    document = push_ups()
    (only,) = document.sets
    reps = tuple(rep.model_copy(update={"raising": None}) for rep in only.reps)
    lowered = document.model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)})
    driving = draw(measured(lowered)).axes[1]
    assert np.allclose(spans(driving), [(1, 4), (6, 9), (11, 13)])


def test_limits_stand_on_the_panel_of_their_angle() -> None:
    _, driving, body = draw(push_up_measurement(), LIMITS).axes
    dashed = [[heights(line)[0] for line in panel.lines if len(heights(line)) == 2] for panel in (driving, body)]
    assert dashed == [[80], [0, 25]]
    assert "at least 80°, bent" in words(driving)
    low, high = body.get_ylim()
    assert low < 0
    assert high > 25


def test_a_limited_angle_is_drawn_even_if_it_does_not_drive_the_reps() -> None:
    limits = {"bent.hip": Limit(high=20), "straight.trunk": Limit(low=5)}
    _, joints, lines = draw(push_up_measurement(), limits).axes
    assert {str(line.get_label()) for line in joints.lines} >= {"elbow", "hip"}
    assert {str(line.get_label()) for line in lines.lines} >= {"body", "trunk"}
    assert "hip at most 20°, bent" in words(joints)
    assert "trunk at least 5°, straight" in words(lines)


def test_the_band_is_u95() -> None:
    measurement = push_up_measurement()
    edge = band(draw(measurement).axes[1])
    at = np.abs(edge[:, 0] - 4.2) < 0.02  # the elbow rests at 96 deg
    u95 = angle_u95(measurement, "elbow")[np.abs(measurement.motion.time - 4.2) < 0.02]
    assert edge[at, 1].max() == pytest.approx(96 + u95[0], abs=0.01)


def test_the_band_widens_where_the_joint_is_hardly_seen() -> None:
    moved = motion(PUSH_UP_ELBOW)
    moved.sd["elbow"][(moved.time > 9.1) & (moved.time < 9.4)] = 40
    edge = band(draw(measured(push_ups(), moved)).axes[1])
    hidden = np.abs(edge[:, 0] - 9.25) < 0.03  # at rest, so that the two edges of the band differ by its width alone
    assert np.ptp(edge[hidden, 1]) == pytest.approx(2 * 1.96 * 40, rel=0.05)


def test_a_hold_shows_its_joints_and_its_sway() -> None:
    figure = draw(plank_measurement(), {"posture.body": Limit(low=12, high=25)})
    names, joints, body, sway = figure.axes
    assert "hold 1, still 8.0 s" in words(names)
    assert {line.get_label() for line in joints.lines} >= {"elbow", "hip"}
    assert spans(body) == [(3, 11)]
    along, vertical = (heights(line) for line in sway.lines)
    assert np.ptp(vertical) == pytest.approx(2 * 2, rel=0.02)  # 1 pixel either way, 2 mm each; the trend is taken out
    assert np.abs(along).max() < 2 * 2 * 1.2


def test_a_clip_without_reps_is_drawn_all_the_same() -> None:
    nothing = push_ups().model_copy(update={"sets": ()})
    figure = draw(measured(nothing))
    assert any("no rep or hold found" in text for text in words(figure))


def test_the_file_is_a_picture_and_nothing_else_is_left(tmp_path: Path) -> None:
    plot(push_up_measurement(), tmp_path / "reps.png", LIMITS)
    picture = imread(BytesIO((tmp_path / "reps.png").read_bytes()))
    assert picture.shape[0] > 500
    assert picture.shape[1] > 900
    assert [path.name for path in tmp_path.iterdir()] == ["reps.png"]


def test_an_unwritable_place_raises_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        plot(push_up_measurement(), tmp_path / "nowhere" / "reps.png")
    assert list(tmp_path.iterdir()) == []


def test_a_turned_view_has_no_band_and_no_limits() -> None:
    turned = replace(motion(PUSH_UP_ELBOW), view=View(near="left", yaw=60.0, u=6.0))
    panel = draw(measured(push_ups(), turned), LIMITS).axes[1]
    assert "the view is turned" in panel.get_ylabel()
    assert not panel.collections
    assert not any("at least" in text for text in words(panel))

"""The phone of a drawn clip: its own turns against its picture's, and what its sensor says of them."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.sensor import gravity
from sample_clips.camera import Camera, angles_of, axes_of, place_camera
from sample_clips.recipe import Phone
from sample_clips.sensor import record

TIME = np.arange(0, 8, 1 / 30)
SEEN = np.array([[-0.9, 0.0, 0.0], [0.9, 0.1, 0.5], [0.3, -0.2, 0.2], [-0.4, 0.0, 0.6]])


def camera(**phone: object) -> Camera:
    return place_camera(Phone.model_validate(phone), SEEN, TIME, seed=3)


def test_angles_come_back_from_axes() -> None:
    yaw, pitch, roll = (np.array(v) for v in ([10.0, -20, 0], [5.0, 22, -14], [7.0, -8, 20]))
    back = angles_of(axes_of(yaw, pitch, roll))
    assert np.allclose([back["yaw"], back["pitch"], back["roll"]], [yaw, pitch, roll])


def test_the_sensors_gravity_is_the_phones() -> None:
    """Gravity in the camera's frame, as the sensor track defines it, points down in the world."""
    axes = axes_of(12.0, 18.0, -7.0)[0]
    right, up, forward = axes
    x, y, z = gravity(-7.0, 18.0)
    assert np.allclose(x * right - y * up + z * forward, [0, 0, -1])


def turns(axes: NDArray[np.float64], name: str) -> NDArray[np.float64]:
    return angles_of(axes)[name]


def test_a_locked_horizon_is_level_whatever_the_phone_does() -> None:
    filmed = camera(roll=12.0, shake_deg=0.3, stabilised="horizon")
    assert np.abs(turns(filmed.axes, "roll")).max() < 0.5
    assert np.median(turns(filmed.held, "roll")) == pytest.approx(12, abs=0.3)


def test_a_steadied_picture_shakes_less_than_the_phone() -> None:
    filmed = camera(roll=3.0, shake_deg=0.8, shake_m=0.005, stabilised="steady")
    assert np.std(turns(filmed.axes, "pitch")) < 0.6 * np.std(turns(filmed.held, "pitch"))
    assert np.std(np.diff(turns(filmed.axes, "roll"))) < 0.2 * np.std(np.diff(turns(filmed.held, "roll")))


def test_the_sensor_tells_the_phones_turns_and_not_the_pictures() -> None:
    filmed = camera(roll=9.0, shake_deg=0.4, stabilised="horizon", sensor=True)
    track = record(filmed, 8.0, seed=3)
    offset = track.clock.offset if track.clock else 0.0
    moments = np.array([sample.time for sample in track.samples]) - offset
    for name in ("roll", "pitch"):
        told = np.array([getattr(sample, name) for sample in track.samples])
        apart = told - np.interp(moments, TIME, turns(filmed.held, name))
        assert abs(np.mean(apart)) < 1.2
        assert np.std(apart) < 0.15


@pytest.mark.parametrize("edge", ["left", "right", "top", "bottom"])
def test_so_much_lies_past_the_edge(edge: str) -> None:
    aside = edge in ("left", "right")
    seen = SEEN if aside else SEEN[:, [2, 1, 0]] + [0, 0, 0.9]  # lying, or standing
    size = {"width": 640, "height": 480} if aside else {"width": 480, "height": 640}
    phone = Phone.model_validate({**size, "lens_height": 0.8, "fill": 0.85, "cut": 0.1, "cut_edge": edge})
    filmed = place_camera(phone, seen, TIME, seed=3)
    u, v = np.array([filmed.project(np.tile(point, (len(TIME), 1)))[0] for point in seen]).T
    beyond = {"left": -u.min(), "right": u.max() - 640 + 1, "top": -v.min(), "bottom": v.max() - 640 + 1}
    assert beyond[edge] == pytest.approx(0.1 * np.ptp(u if aside else v), abs=3)
    opposite = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[edge]
    assert beyond[opposite] < 0

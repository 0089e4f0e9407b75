"""A clip that was filmed faster than it plays is timed by real time, or refused in words that are true of it."""

from pathlib import Path

import numpy as np
import pytest

from models.errors import ClipError
from tests.vision import clips
from vision.boxes import Edit
from vision.clip import open_clip
from vision.slow_motion import Pace, pace, read_trailer

TAG = "com.android.capture.fps"
SAMSUNG = {"SlowMotion_Data": b"88:879:2*1255:1970:4"}


def tagged(path: Path, rate: str, times: list[float]) -> Path:
    return clips.write(path, times, metadata={TAG: rate}, container_options={"movflags": "use_metadata_tags"})


def evenly(rate: float, seconds: float = 3) -> np.ndarray:
    return np.arange(0, seconds, 1 / rate)


def test_a_clip_filmed_at_240_and_stored_at_30_is_timed_by_real_time(tmp_path: Path) -> None:
    times = clips.regular(300)
    clip = open_clip(tagged(tmp_path / "clip.mp4", "240.000000", times))
    assert clip.facts.time_scale == 1 / 8
    assert clip.times == pytest.approx(np.array(times) / 8, abs=2e-5)
    assert clip.facts.seconds == pytest.approx(300 / 240)
    assert clip.facts.rate_mean == pytest.approx(240, rel=1e-4)
    assert clip.notes == (
        "Slow motion, filmed at 240 frames/s and stored to play at 30: all times are real times, 8 times shorter than shown.",
    )
    assert [frame.time for frame in clip.frames(64)] == list(clip.times)


def test_a_clip_that_is_long_enough_only_when_slowed_is_too_short(tmp_path: Path) -> None:
    path = tagged(tmp_path / "clip.mp4", "240", clips.regular(60))
    with pytest.raises(ClipError, match=r"shows 0\.2 s of real time"):
        open_clip(path)


@pytest.mark.parametrize("rate", [24.0, 29.97, 30.0, 60.0, 120.0, 240.0])
def test_a_tag_that_agrees_with_the_stamps_changes_nothing(rate: float) -> None:
    assert pace(evenly(rate), {TAG: f"{rate:f}"}, (), {}) == Pace()


def test_a_rate_that_falls_in_the_dark_for_a_time_is_real_time() -> None:
    seconds = np.concatenate([evenly(60, 1), 1 + evenly(30, 2)])
    assert pace(seconds, {TAG: "60"}, (), {}) == Pace()


@pytest.mark.parametrize(("rate", "times"), [(60, 2), (30, 4), (29.97, 8), (30, 32)])
def test_slowing_by_a_whole_number_is_undone(rate: float, times: int) -> None:
    assert pace(evenly(rate), {TAG: str(round(rate) * times)}, (), {}).scale == 1 / times


def test_half_the_rate_may_be_darkness_or_slow_motion_so_it_is_refused() -> None:
    with pytest.raises(
        ClipError, match=r"filmed at 60 frames/s, but it is stored to play at 30: it may be slow motion"
    ):
        pace(evenly(30), {TAG: "60"}, (), {})


def test_a_slowing_that_is_no_whole_number_is_refused() -> None:
    with pytest.raises(ClipError, match="it may be slow motion"):
        pace(evenly(50), {TAG: "120"}, (), {})


def test_a_time_lapse_is_refused() -> None:
    with pytest.raises(ClipError, match=r"filmed at 2 frames/s, but it is stored to play at 30: it may be time lapse"):
        pace(evenly(30), {TAG: "2"}, (), {})


@pytest.mark.parametrize("rate", ["", "fast", "nan", "0", "-30"])
def test_a_tag_that_says_nothing_is_no_tag(rate: str) -> None:
    assert pace(evenly(30), {TAG: rate}, (), {}) == Pace()


def test_samsung_stretches_say_how_to_show_and_the_rate_says_how_it_was_filmed(tmp_path: Path) -> None:
    path = tagged(tmp_path / "clip.mp4", "240", clips.regular(300))
    with path.open("ab") as file:
        file.write(clips.samsung_trailer(Invalid_Data=bytes(32), **SAMSUNG))
    assert read_trailer(path)["SlowMotion_Data"] == SAMSUNG["SlowMotion_Data"]
    assert open_clip(path).facts.time_scale == 1 / 8


def test_samsung_slow_motion_without_a_rate_is_refused(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(60))
    with path.open("ab") as file:
        file.write(clips.samsung_trailer(**SAMSUNG))
    with pytest.raises(ClipError, match="tagged as slow motion"):
        open_clip(path)


def test_samsung_super_slow_motion_is_refused_with_the_stretch_that_it_names(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(60))
    with path.open("ab") as file:
        file.write(clips.samsung_trailer(Super_SlowMotion_Data=b"997:1530:1197:1!1"))
    with pytest.raises(ClipError, match=r"Part of the clip \(1\.0 s to 1\.5 s\) is super slow motion"):
        open_clip(path)


@pytest.mark.parametrize(
    "tail", [b"", b"SEFT", b"SEFH\x00\x00SEFT", b"\xff\xff\xff\xffSEFT", bytes(12) + b"\x0c\x00\x00\x00SEFT"]
)
def test_a_broken_trailer_is_no_trailer(tmp_path: Path, tail: bytes) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30))
    with path.open("ab") as file:
        file.write(tail)
    assert read_trailer(path) == {}
    assert open_clip(path).facts.time_scale == 1


def test_an_edit_list_that_slows_is_refused(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(60), options={"bf": "0"})
    clips.set_edit(path, duration_ms=8000, media_ticks=0, speed=0.25)
    with pytest.raises(ClipError, match="edit list plays part of it at another speed"):
        open_clip(path)


def test_delays_and_ordinary_edits_are_no_slowing() -> None:
    assert pace(evenly(30), {}, (Edit(empty=True, speed=1), Edit(empty=False, speed=1)), {}) == Pace()

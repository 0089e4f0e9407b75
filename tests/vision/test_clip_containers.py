"""Clips as phones and tools write them, if the folder of them lies beside the checkout.

What each must give was read with FFmpeg 5.1's ffprobe and ffmpeg (Debian): the times of the shown frames, and the upright
picture's size.
"""

from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
import pytest

from models.errors import ClipError
from vision import clip as clip_module
from vision.clip import Clip, open_clip

FOLDER: Final = Path(__file__).parents[3] / "shared" / "containers"

pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="no folder of containers beside the checkout")


class Expected(NamedTuple):
    """What a file must give: shown frames, time of the last one (s, as stamped), upright size, codec, first interval (s)."""

    frames: int
    last: float
    size: tuple[int, int]
    codec: str
    first: float
    slowed: int = 1


FILES: Final = {
    "dolbyVision-hdr.MOV": Expected(4, 0.1, (720, 1280), "hevc", 1 / 30),
    "h265_10bits.mp4": Expected(30, 0.966667, (200, 200), "hevc", 1 / 30),
    "h265_bframes.mp4": Expected(30, 0.966667, (854, 480), "hevc", 1 / 30),
    "hdr10-av1.mp4": Expected(127, 4.204200, (720, 1280), "av1", 0.033367),
    "hlg10-color-test.mp4": Expected(9, 0.266756, (1920, 1080), "hevc", 0.033344),
    "iibbibb_editlist_videoonly.mp4": Expected(12, 11.0, (704, 576), "h264", 1.0),
    "pixel-motion-photo-2-hevc-tracks.mp4": Expected(58, 2.100700, (768, 1024), "hevc", 0.033344),
    "portrait_4k60.mp4": Expected(18, 0.283067, (2160, 3840), "h264", 0.016644),
    "roadtrip-vp92-10bit.webm": Expected(72, 2.961, (426, 240), "vp9", 0.042),
    "sample_android_slow_motion.mp4": Expected(7, 0.492011, (1280, 720), "h264", 0.325344, slowed=8),
    "sample_edit_list.mp4": Expected(77, 2.535, (1080, 1920), "hevc", 1 / 30),
    "sample_fragmented.mp4": Expected(30, 0.967633, (1080, 720), "h264", 0.033367),
    "sample_portrait.mp4": Expected(30, 0.967633, (720, 1080), "h264", 0.033367),
    "sample_rotate_and_reflect.mp4": Expected(30, 0.967633, (720, 1080), "h264", 0.033367),
    "sample_sef_slow_motion.mp4": Expected(63, 2.066667, (320, 240), "h264", 1 / 30, slowed=8),
}

REFUSED: Final = {
    "dolbyVision-hdr.MOV": r"shows 0\.1 s of real time",
    "hlg10-color-test.mp4": r"shows 0\.3 s of real time",
    "iibbibb_editlist_videoonly.mp4": r"has 1 frames/s",
    "portrait_4k60.mp4": r"shows 0\.3 s of real time",
    "sample_android_slow_motion.mp4": r"shows 0\.1 s of real time",
    "sample_sef_slow_motion.mp4": r"shows 0\.3 s of real time",
    "sample_sef_super_slow_motion.mp4": r"Part of the clip \(1\.0 s to 13\.5 s\) is super slow motion",
}


@pytest.fixture
def unlimited(monkeypatch: pytest.MonkeyPatch) -> None:
    """Open even what is too short or too slow to measure."""
    monkeypatch.setattr(clip_module, "SLOWEST", 0.5)


def opened(name: str) -> Clip:
    return open_clip(FOLDER / name, shortest=0)


def test_every_file_is_known_here() -> None:
    files = {path.name for path in FOLDER.iterdir() if path.suffix.lower() in {".mp4", ".mov", ".webm"}}
    assert files == set(FILES) | {"sample_sef_super_slow_motion.mp4"}


@pytest.mark.usefixtures("unlimited")
@pytest.mark.parametrize("name", FILES)
def test_times_and_size(name: str) -> None:
    want, clip = FILES[name], opened(name)
    stamped = clip.times * want.slowed
    assert len(stamped) == clip.facts.frames == want.frames
    assert stamped[0] == 0
    assert stamped[1] == pytest.approx(want.first, abs=2e-6)
    assert stamped[-1] == pytest.approx(want.last, abs=2e-6)
    assert np.all(np.diff(stamped) > 0)
    assert (clip.facts.width, clip.facts.height) == want.size
    assert clip.facts.codec == want.codec
    assert clip.facts.time_scale == 1 / want.slowed


@pytest.mark.usefixtures("unlimited")
@pytest.mark.parametrize("name", FILES)
def test_every_frame_comes_at_its_time(name: str) -> None:
    clip = opened(name)
    frames = [(frame.index, frame.time, frame.image.shape) for frame in clip.frames(160)]
    assert [index for index, _, _ in frames] == list(range(clip.facts.frames))
    assert [time for _, time, _ in frames] == list(clip.times)
    assert {max(shape) for _, _, shape in frames} == {160}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_measured_is_refused_in_true_words(name: str) -> None:
    with pytest.raises(ClipError, match=REFUSED[name]):
        open_clip(FOLDER / name)


@pytest.mark.parametrize("name", ["dolbyVision-hdr.MOV", "hdr10-av1.mp4", "sample_edit_list.mp4"])
def test_the_sky_is_up_and_bright_but_not_lost(name: str) -> None:
    """Roofs under a cloudy sky, upright."""
    image = next(opened(name).frames(320)).image.mean(2)
    top, bottom = (float(image[rows].mean()) for rows in (slice(0, 60), slice(-60, None)))
    assert top - bottom > 40
    assert 130 < top < 252


def test_the_colours_of_a_chart_filmed_in_hlg() -> None:
    """A chart of 24 patches: third row from the left blue, green, red, yellow; then the row of greys, light to dark."""
    image = next(opened("hlg10-color-test.mp4").frames(640)).image.astype(int)
    blue, green, red, yellow = (image[208, x] for x in (100, 180, 262, 343))
    assert blue[2] > 2 * blue[0]
    assert green[1] > 1.5 * max(green[0], green[2])
    assert red[0] > 2 * max(red[1], red[2])
    assert min(yellow[0], yellow[1]) > 2 * yellow[2]
    greys = [image[290, x] for x in (177, 260, 340, 422)]
    assert all(np.ptp(grey) < 24 for grey in greys)
    assert np.all(np.diff([grey.mean() for grey in greys]) < -5)

import hashlib
import struct
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np
import pytest

from tests.vision import clips
from vision.clip import Clip, open_clip
from vision.upright import Turn, turn_from_matrix

UNEVEN = [0.0, 0.033, 0.067, 0.1, 0.2, 0.21, 0.35, 0.4, 0.433, 0.5, 0.62, 0.7, 0.81, 0.9, 1.0, 1.05]
"""Times (s) of a clip whose rate varies."""


def numbers(clip: Clip) -> list[int]:
    return [clips.number_of(frame.image) for frame in clip.frames()]


# Times


@pytest.mark.parametrize("frames_between", ["0", "3"])
@pytest.mark.parametrize("name", ["clip.mp4", "clip.mov", "clip.mkv", "clip.ts"])
def test_every_frame_has_the_time_at_which_it_is_shown(tmp_path: Path, name: str, frames_between: str) -> None:
    path = clips.write(tmp_path / name, UNEVEN, options={"bf": frames_between})
    clip = open_clip(path)
    assert clip.times == pytest.approx(UNEVEN, abs=0.00051)  # Matroska counts milliseconds
    assert numbers(clip) == list(range(len(UNEVEN)))
    assert [frame.time for frame in clip.frames(64)] == list(clip.times)


def test_a_codec_that_may_hide_frames_is_timed_by_what_it_shows(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.webm", UNEVEN, codec="libvpx", options={"auto-alt-ref": "1", "b": "1M"})
    clip = open_clip(path)
    assert clip.times == pytest.approx(UNEVEN, abs=0.00051)
    assert numbers(clip) == list(range(len(UNEVEN)))


def test_the_clock_starts_at_the_first_shown_frame(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", [time + 2.5 for time in UNEVEN])
    assert open_clip(path).times == pytest.approx(UNEVEN, abs=1e-4)


def test_frames_outside_the_edit_are_not_shown(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(90), options={"bf": "0", "g": "25"})
    clips.set_edit(path, duration_ms=1500, media_ticks=30 * 3000)  # 1.0 s to 2.5 s: frames 30 to 74
    clip = open_clip(path)
    assert numbers(clip) == list(range(30, 75))
    assert clip.times == pytest.approx(clips.regular(45), abs=1e-4)


def test_an_edit_that_begins_between_key_frames_among_reordered_frames(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(90), options={"bf": "2", "g": "25"})
    shift = 2 * 3000  # what the reordering delays the first frame by
    clips.set_edit(path, duration_ms=1500, media_ticks=40 * 3000 + shift)
    clip = open_clip(path)
    assert numbers(clip) == list(range(40, 85))
    assert clip.times == pytest.approx(clips.regular(45), abs=1e-4)


def test_a_frame_stamped_as_the_one_before_is_left_out(tmp_path: Path) -> None:
    times = [time + (0.01 if index > 20 else 0) for index, time in enumerate(clips.regular(40))]
    path = clips.write(tmp_path / "clip.mp4", times, options={"bf": "0"})
    before = (20, 3000, 1, 3900)  # the table of durations (stts): 20 frames of 3000 ticks, then one of 3900
    assert struct.pack(">4I", *before) in path.read_bytes()
    clip = open_clip(clips.patch(path, b"stts", 20, struct.pack(">I", 0)))
    assert numbers(clip) == [*range(21), *range(22, 40)]
    assert clip.times == pytest.approx([index / 30 for index in range(39)], abs=1e-4)
    assert clip.notes == ("Left out, being stamped no later than the frame before: 1 of 40 frames.",)


def test_a_fragmented_file_is_read_whole(tmp_path: Path) -> None:
    options = {"movflags": "frag_keyframe+empty_moov"}
    path = clips.write(tmp_path / "clip.mp4", clips.regular(60), options={"g": "15"}, container_options=options)
    assert numbers(open_clip(path)) == list(range(60))


# Facts


def test_facts_of_an_even_clip(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(48, 24))
    facts = open_clip(path).facts
    assert (facts.width, facts.height, facts.rotation) == (clips.WIDTH, clips.HEIGHT, 0)
    assert facts.frames == 48
    assert facts.seconds == pytest.approx(2)
    assert facts.rate_mean == pytest.approx(24)
    assert not facts.rate_varies
    assert facts.codec == "h264"
    assert facts.time_scale == 1
    assert facts.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_an_uneven_rate_is_said(tmp_path: Path) -> None:
    facts = open_clip(clips.write(tmp_path / "clip.mp4", UNEVEN)).facts
    assert facts.rate_varies
    assert facts.rate_mean == pytest.approx((len(UNEVEN) - 1) / UNEVEN[-1])


def test_a_pause_of_the_camera_is_told(tmp_path: Path) -> None:
    times = [time + (0.8 if time > 0.99 else 0) for time in clips.regular(60)]
    assert open_clip(clips.write(tmp_path / "clip.mp4", times)).notes == ("No frame for 0.83 s at 1.0 s.",)


def test_five_frames_a_second_are_enough_to_open(tmp_path: Path) -> None:
    clip = open_clip(clips.write(tmp_path / "clip.mp4", clips.regular(15, 5)))
    assert clip.facts.rate_mean == pytest.approx(5)
    assert clip.notes == ()


@pytest.mark.parametrize(("codec", "name"), [("libx265", "hevc"), ("libsvtav1", "av1"), ("mjpeg", "mjpeg")])
def test_codecs_of_phones(tmp_path: Path, codec: str, name: str) -> None:
    times = clips.regular(30)
    path = clips.write(tmp_path / "clip.mp4", times, codec=codec, pix_fmt="yuvj420p" if codec == "mjpeg" else "yuv420p")
    clip = open_clip(path)
    assert clip.facts.codec == name
    assert clip.times == pytest.approx(times, abs=1e-4)
    assert numbers(clip) == list(range(30))


def test_the_track_with_the_most_frames_is_the_clip(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    with av.open(str(path), "w") as container:
        still = container.add_stream("libx264", 30)
        moving = container.add_stream("libx264", 30)
        for stream, scale in ((still, 2), (moving, 1)):
            stream.height, stream.width, stream.pix_fmt = clips.HEIGHT * scale, clips.WIDTH * scale, "yuv420p"
        large = np.kron(clips.picture(0), np.ones((2, 2, 1), np.uint8))
        container.mux(still.encode(av.VideoFrame.from_ndarray(large, format="rgb24")))
        container.mux(still.encode())
        for index in range(40):
            container.mux(moving.encode(av.VideoFrame.from_ndarray(clips.picture(index), format="rgb24")))
        container.mux(moving.encode())
    clip = open_clip(path)
    assert (clip.facts.width, clip.facts.frames) == (clips.WIDTH, 40)
    assert numbers(clip) == list(range(40))
    assert clip.notes == ("The file holds 2 moving pictures; the one with the most frames was measured.",)


# Upright, at the size asked for

# Display matrix (a, b, c, d) as phones write it for a camera held turned, and what undoes it on the pictures stored.
TURNS: Final[dict[str, tuple[tuple[int, int, int, int], Callable[[clips.Picture], clips.Picture], int]]] = {
    "upright": ((1, 0, 0, 1), lambda image: image, 0),
    "turned right": ((0, 1, -1, 0), lambda image: np.rot90(image, 1), 90),
    "upside down": ((-1, 0, 0, -1), lambda image: np.rot90(image, 2), 180),
    "turned left": ((0, -1, 1, 0), lambda image: np.rot90(image, -1), 270),
    "mirrored": ((-1, 0, 0, 1), np.fliplr, 0),
    "mirrored, upside down": ((1, 0, 0, -1), np.flipud, 180),
    "mirrored, turned left": ((0, 1, 1, 0), lambda image: image.swapaxes(0, 1), 270),
    "mirrored, turned right": ((0, -1, -1, 0), lambda image: np.rot90(image.swapaxes(0, 1), 2), 90),
}


@pytest.mark.parametrize("name", TURNS)
def test_frames_are_upright_whatever_the_display_matrix(tmp_path: Path, name: str) -> None:
    matrix, stored, degrees = TURNS[name]
    pictures = [np.ascontiguousarray(stored(clips.picture(index))) for index in range(30)]
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), pictures=pictures)
    clip = open_clip(clips.set_matrix(path, *matrix))
    assert (clip.facts.width, clip.facts.height) == (clips.WIDTH, clips.HEIGHT)
    assert clip.facts.rotation == degrees
    assert numbers(clip) == list(range(30))
    first = next(clip.frames(128)).image
    assert first.shape == (96, 128, 3)
    assert clips.corners_of(first) == {name: name for name in clips.CORNERS}


def test_a_matrix_of_zeros_turns_nothing_and_a_slanted_one_is_refused() -> None:
    assert turn_from_matrix((0,) * 9) == Turn()
    assert turn_from_matrix((46341, 46341, 0, -46341, 46341, 0, 0, 0, 1 << 30)) is None


@pytest.mark.parametrize(
    ("max_side", "shape"), [(None, (192, 256)), (128, (96, 128)), (100, (75, 100)), (999, (192, 256))]
)
def test_frames_come_at_the_size_asked_for_and_never_enlarged(
    tmp_path: Path, max_side: int | None, shape: tuple[int, int]
) -> None:
    clip = open_clip(clips.write(tmp_path / "clip.mp4", clips.regular(30)))
    image = next(clip.frames(max_side)).image
    assert image.shape == (*shape, 3)
    assert image.dtype == np.uint8


def test_scaling_down_averages_over_area(tmp_path: Path) -> None:
    stripes = np.zeros((clips.HEIGHT, clips.WIDTH, 3), np.uint8)
    stripes[:, ::2] = 255
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), pictures=[stripes] * 30, options={"qp": "0"})
    image = next(open_clip(path).frames(64)).image
    assert np.abs(image.astype(int) - 128).max() <= 3


def test_pixels_that_are_not_square_are_made_so(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), aspect=Fraction(3, 2))
    clip = open_clip(path)
    assert (clip.facts.width, clip.facts.height) == (384, 192)
    assert next(clip.frames()).image.shape == (192, 384, 3)


def test_memory_holds_one_frame_at_a_time(tmp_path: Path) -> None:
    frames = open_clip(clips.write(tmp_path / "clip.mp4", clips.regular(60))).frames()
    first = next(frames)
    assert first.index == 0
    frames.close()  # type: ignore[attr-defined]

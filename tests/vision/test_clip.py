import hashlib
import shutil
import struct
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np
import pytest

from models.errors import ClipError
from tests.vision import clips
from vision.clip import Clip, Frame, open_clip
from vision.upright import Turn, turn_from_matrix

UNEVEN = [0.0, 0.033, 0.067, 0.1, 0.2, 0.21, 0.35, 0.4, 0.433, 0.5, 0.62, 0.7, 0.81, 0.9, 1.0, 1.05]
"""Times (s) of a clip whose rate varies."""


def numbers(clip: Clip) -> list[int]:
    return [clips.number_of(frame.image) for frame in clip.frames()]


def refusal(path: Path) -> str:
    with pytest.raises(ClipError) as caught:
        open_clip(path)
    message = str(caught.value)
    assert "\n" not in message
    return message


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


# What cannot be measured


def test_a_missing_file(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.mp4") == f"There is no file {tmp_path / 'none.mp4'}; check its name."


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path)


def test_an_empty_file(tmp_path: Path) -> None:
    (tmp_path / "clip.mp4").touch()
    assert "empty" in refusal(tmp_path / "clip.mp4")


def test_a_picture_named_as_a_clip(tmp_path: Path) -> None:
    with av.open(str(tmp_path / "picture.png"), "w", format="image2") as container:
        stream = container.add_stream("png", 1)
        stream.width, stream.height, stream.pix_fmt = clips.WIDTH, clips.HEIGHT, "rgb24"
        container.mux(stream.encode(av.VideoFrame.from_ndarray(clips.picture(0), format="rgb24")))
    shutil.copy(tmp_path / "picture.png", tmp_path / "clip.mp4")
    assert "not a video" in refusal(tmp_path / "clip.mp4")


@pytest.mark.parametrize("name", ["notes.txt", "clip.mp4", "clip.m3u8"])
def test_text(tmp_path: Path, name: str) -> None:
    target = clips.write(tmp_path / "target.ts", clips.regular(60))
    (tmp_path / name).write_text(f"#EXTM3U\n#EXTINF:2,\n{target}\n", encoding="utf-8")
    assert "not a video" in refusal(tmp_path / name)


def test_sound_alone(tmp_path: Path) -> None:
    clips.write_sound(tmp_path / "clip.m4a", 3)
    assert "no moving picture" in refusal(tmp_path / "clip.m4a")


def test_a_codec_that_nobody_knows(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30))
    assert "no moving picture that can be read" in refusal(clips.patch(path, b"avc1\0\0\0\0\0\0", -10, b"none"))


def test_metadata_in_another_alphabet_do_no_harm(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mkv", clips.regular(30), metadata={"title": "Klimmzuege"})
    path.write_bytes(path.read_bytes().replace(b"Klimmzuege", "Klimmz\xfcge ".encode("latin-1")))
    assert open_clip(path).facts.frames == 30


@pytest.mark.parametrize("name", ["clip.mp4", "clip.mkv", "clip.ts"])
def test_a_scrambled_header_is_refused_or_harmless_but_never_a_crash(tmp_path: Path, name: str) -> None:
    rng = np.random.default_rng(9)
    path = clips.write(
        tmp_path / name, clips.regular(40), container_options={"movflags": "+faststart"} if "mp4" in name else {}
    )
    whole = path.read_bytes()
    refused = 0
    for _ in range(60):
        scrambled = bytearray(whole)
        for at in rng.integers(0, 1500, 4):
            scrambled[at] = rng.integers(256)
        path.write_bytes(scrambled)
        try:
            list(open_clip(path).frames(64))
        except ClipError:
            refused += 1
    assert refused > 5


def test_a_single_frame(tmp_path: Path) -> None:
    assert "single picture" in refusal(clips.write(tmp_path / "clip.mp4", [0.0]))


def test_too_short(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(24))
    assert refusal(path) == "The clip shows 0.8 s of real time; film for at least 1 s."
    assert open_clip(path, shortest=0.5).facts.frames == 24


def test_too_few_frames_a_second(tmp_path: Path) -> None:
    assert "2 frames/s" in refusal(clips.write(tmp_path / "clip.mp4", clips.regular(10, 2)))


def test_too_long(tmp_path: Path) -> None:
    small = [np.zeros((96, 96, 3), np.uint8)] * 7300
    path = clips.write(tmp_path / "clip.mp4", clips.regular(7300, 4), pictures=small, options={"preset": "ultrafast"})
    assert "lasts 30 minutes" in refusal(path)


def test_too_small(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), pictures=[np.zeros((64, 128, 3), np.uint8)] * 30)
    assert "128 x 64 pixels" in refusal(path)


def test_too_large(tmp_path: Path) -> None:
    huge = [np.zeros((6144, 6160, 3), np.uint8)] * 5
    path = clips.write(tmp_path / "clip.mp4", clips.regular(5, 4), pictures=huge, codec="mjpeg", pix_fmt="yuvj420p")
    assert "6160 x 6144 pixels" in refusal(path)


def cut(path: Path, share: float) -> Path:
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    return path


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
@pytest.mark.parametrize("options", [{}, {"movflags": "+faststart"}, {"movflags": "frag_keyframe+empty_moov"}])
def test_an_mp4_that_lacks_its_end(tmp_path: Path, options: dict[str, str], share: float) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(90), options={"g": "30"}, container_options=options)
    assert refusal(cut(path, share)).startswith("The clip is cut off: ")


def test_a_lost_table_for_seeking_loses_no_frame(tmp_path: Path) -> None:
    options = {"movflags": "frag_keyframe+empty_moov"}
    path = clips.write(tmp_path / "clip.mp4", clips.regular(60), options={"g": "30"}, container_options=options)
    path.write_bytes(path.read_bytes()[: path.read_bytes().index(b"mfra") + 20])
    assert numbers(open_clip(path)) == list(range(60))


@pytest.mark.parametrize("name", ["clip.mkv", "clip.avi"])
def test_another_container_that_lacks_its_end(tmp_path: Path, name: str) -> None:
    path = clips.write(tmp_path / name, clips.regular(90), options={"bf": "0", "g": "30"})
    assert open_clip(path).facts.frames == 90
    assert refusal(cut(path, 0.6)).startswith("The clip is cut off: ")


@pytest.mark.parametrize("codec", ["libx264", "libx265"])
def test_damage_in_the_middle_is_found_and_placed(tmp_path: Path, codec: str) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(90), codec=codec, options={"g": "30"})
    data = bytearray(path.read_bytes())
    middle = data.index(b"mdat") + 4 + int(0.5 * (data.index(b"moov") - data.index(b"mdat")))
    data[middle : middle + 60] = np.random.default_rng(4).bytes(60)
    path.write_bytes(data)
    seen: list[Frame] = []
    with pytest.raises(ClipError, match=r"damaged at \d\.\d s"):
        seen.extend(open_clip(path).frames())
    assert [clips.number_of(frame.image) for frame in seen] == list(range(len(seen)))
    assert len(seen) < 90

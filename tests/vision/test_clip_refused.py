"""What is no clip, no whole one, or none that can be measured is refused in one line that is true of it."""

import shutil
from pathlib import Path

import av
import numpy as np
import pytest

from models.errors import ClipError
from tests.vision import clips
from vision.clip import Frame, open_clip


def numbers(path: Path) -> list[int]:
    return [clips.number_of(frame.image) for frame in open_clip(path).frames()]


def refusal(path: Path) -> str:
    with pytest.raises(ClipError) as caught:
        open_clip(path)
    message = str(caught.value)
    assert "\n" not in message
    return message


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
    assert numbers(path) == list(range(60))


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

from collections.abc import Iterator
from pathlib import Path

import av
import numpy as np
import pytest

from tests.vision import clips
from vision.clip import open_clip
from vision.encode import write_clip

TIMES = np.cumsum(np.r_[0.0, np.random.default_rng(5).uniform(0.008, 0.09, 60)])


def numbered(times: np.ndarray) -> Iterator[tuple[float, np.ndarray]]:
    return ((float(time), clips.picture(index)) for index, time in enumerate(times))


def test_every_frame_keeps_its_own_time(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", numbered(TIMES))
    clip = open_clip(tmp_path / "out.mp4")
    assert clip.times == pytest.approx(TIMES, abs=1e-5)
    assert [clips.number_of(frame.image) for frame in clip.frames()] == list(range(len(TIMES)))


def test_the_first_frame_is_at_zero_wherever_it_came_from(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", numbered(TIMES + 12.34))
    assert open_clip(tmp_path / "out.mp4").times == pytest.approx(TIMES, abs=1e-5)
    with av.open(str(tmp_path / "out.mp4")) as container:
        assert container.start_time == 0
        assert container.duration is not None
        assert TIMES[-1] < container.duration / av.time_base < TIMES[-1] + 0.2


def test_colours_come_through_and_are_tagged(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", numbered(TIMES))
    image = next(open_clip(tmp_path / "out.mp4").frames()).image
    for (row, column), name in zip([(10, 10), (10, -10), (-10, 10), (-10, -10)], clips.CORNERS, strict=True):
        assert image[row, column] == pytest.approx(clips.CORNERS[name], abs=8)
    with av.open(str(tmp_path / "out.mp4")) as container:
        frame = next(container.decode(video=0))
    assert (frame.format.name, frame.colorspace, frame.color_trc, frame.color_primaries) == ("yuv420p", 1, 1, 1)


def test_an_odd_row_and_column_are_left_out(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", ((time, image[:-1, :-1]) for time, image in numbered(TIMES)))
    facts = open_clip(tmp_path / "out.mp4").facts
    assert (facts.width, facts.height) == (clips.WIDTH - 2, clips.HEIGHT - 2)


def test_nothing_is_carried_but_pictures_and_times(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", numbered(TIMES))
    with av.open(str(tmp_path / "out.mp4")) as container:
        assert set(container.metadata) == {"major_brand", "minor_version", "compatible_brands"}
        assert set(container.streams.video[0].metadata) == {"language", "handler_name"}
        assert len(container.streams.get()) == 1


def test_a_browser_finds_the_index_first(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", numbered(TIMES))
    data = (tmp_path / "out.mp4").read_bytes()
    assert data.index(b"moov") < data.index(b"mdat")


def test_what_fails_half_way_leaves_nothing_and_spares_what_was_there(tmp_path: Path) -> None:
    def failing() -> Iterator[tuple[float, np.ndarray]]:
        yield from list(numbered(TIMES))[:30]
        raise RuntimeError("the source broke")

    path = tmp_path / "out.mp4"
    path.write_bytes(b"what was there")
    with pytest.raises(RuntimeError, match="the source broke"):
        write_clip(path, failing())
    assert path.read_bytes() == b"what was there"
    assert list(tmp_path.iterdir()) == [path]


def test_no_frame_at_all(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="at least one frame"):
        write_clip(tmp_path / "out.mp4", [])
    assert list(tmp_path.iterdir()) == []


def test_a_time_that_does_not_move_on(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"0\.5 s is not later"):
        write_clip(tmp_path / "out.mp4", [(0.5, clips.picture(0)), (0.5, clips.picture(1))])
    assert list(tmp_path.iterdir()) == []


def test_a_single_frame_is_a_clip_too(tmp_path: Path) -> None:
    write_clip(tmp_path / "out.mp4", [(3.0, clips.picture(7))])
    with av.open(str(tmp_path / "out.mp4")) as container:
        (frame,) = container.decode(video=0)
    assert clips.number_of(np.asarray(frame.to_ndarray(format="rgb24"), np.uint8)) == 7

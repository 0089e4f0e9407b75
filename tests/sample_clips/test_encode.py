from collections.abc import Iterator
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from sample_clips.encode import encode, frame_ticks
from sample_clips.recipe import Phone

PHONE = Phone(width=64, height=48)


def pictures(count: int) -> Iterator[NDArray[np.uint8]]:
    for shade in range(count):
        yield np.full((48, 64, 3), shade, np.uint8)


def test_nothing_but_the_clip_is_left(tmp_path: Path) -> None:
    ticks = frame_ticks(PHONE, 1.0, seed=1)
    encode(tmp_path / "set.mp4", PHONE, ticks, pictures(len(ticks)))
    assert [path.name for path in tmp_path.iterdir()] == ["set.mp4"]
    with av.open(str(tmp_path / "set.mp4")) as clip:
        assert sum(1 for _ in clip.decode(video=0)) == len(ticks)


def test_an_interrupted_encoder_leaves_nothing(tmp_path: Path) -> None:
    def interrupted() -> Iterator[NDArray[np.uint8]]:
        yield from pictures(80)  # more than the encoder keeps back before it writes
        assert list(tmp_path.iterdir())
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        encode(tmp_path / "set.mp4", PHONE, frame_ticks(PHONE, 4.0, seed=1), interrupted())
    assert list(tmp_path.iterdir()) == []

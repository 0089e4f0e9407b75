from pathlib import Path

import pytest

from models.errors import BadInput
from models.prescription import read_prescription
from service.commands.demo import CLIPS, FAVOURITE, sample


def test_without_the_source_tree_the_demo_says_what_it_lacks(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="come with the source tree, not with the installed package"):
        sample(tmp_path)


def test_a_clip_without_a_prescription_is_no_sample(tmp_path: Path) -> None:
    (tmp_path / "row.mp4").touch()
    with pytest.raises(BadInput):
        sample(tmp_path)


def test_the_favourite_comes_first_and_any_other_will_do(tmp_path: Path) -> None:
    for name in ("row.mp4", "row.toml"):
        (tmp_path / name).touch()
    assert sample(tmp_path) == (tmp_path / "row.mp4", tmp_path / "row.toml")
    for name in (f"{FAVOURITE}.mp4", f"{FAVOURITE}.toml"):
        (tmp_path / name).touch()
    assert sample(tmp_path)[0].stem == FAVOURITE


def test_the_source_tree_has_the_favourite_and_its_prescription_can_be_read() -> None:
    clip, prescription = sample(CLIPS)
    assert clip.stem == FAVOURITE
    read_prescription(prescription)

"""What is kept of a clip measures as the clip did, and tells nothing else."""

from itertools import islice
from pathlib import Path

import numpy as np
import pytest

from models.errors import ClipError
from service.intake.facts import Facts, Limits
from service.intake.look import look
from tests.service.intake.phones import BETWEEN, CLIPS, CONTAINERS, PLANTED, VOICE, found_in, write_clip
from vision import clip as clip_module
from vision.clip import open_clip

LIMITS = Limits(seconds=600, pixels=3840 * 2160, bytes=500 << 20)
REFUSED = {"sample_sef_super_slow_motion.mp4"}
LOCATIONS = (
    "+51.53",
    "+51.5334-000.1255+026.756/",
    "+40.68",
    "iPhone 14 Pro",
    "16.4.1",
    "Core Media",
    "com.android.version",
)


@pytest.fixture
def unlimited(monkeypatch: pytest.MonkeyPatch) -> None:
    """Open even what is too short or too slow to measure."""
    monkeypatch.setattr(clip_module, "SLOWEST", 0.5)


def stripped(path: Path, tmp_path: Path) -> tuple[Facts, Path]:
    to = tmp_path / "kept"
    return look(path, to, LIMITS), to


def assert_measures_alike(before: Path, after: Path) -> None:
    """Times, turn, size, pace, colours: all that measuring reads, and the pictures themselves."""
    old, new = open_clip(before, shortest=0), open_clip(after, shortest=0)
    assert np.array_equal(old.times, new.times)
    assert old.facts.model_dump(exclude={"sha256"}) == new.facts.model_dump(exclude={"sha256"})
    assert old.turn == new.turn
    single = "The file holds"  # a note on further pictures, which stay behind
    assert [note for note in old.notes if not note.startswith(single)] == list(new.notes)
    enough = None if old.facts.width * old.facts.height < 1_000_000 else 15  # decoding takes seconds
    for one, other in zip(islice(old.frames(64), enough), islice(new.frames(64), enough), strict=True):
        assert one.time == other.time
        assert np.array_equal(one.image, other.image)


@pytest.mark.usefixtures("unlimited")
@pytest.mark.skipif(not CONTAINERS.is_dir(), reason="no folder of containers beside the checkout")
@pytest.mark.parametrize(
    "name",
    sorted({path.name for path in CONTAINERS.glob("*.[mMw][pPoOe]*") if path.suffix != ".md"} - REFUSED),
)
def test_files_of_phones(name: str, tmp_path: Path) -> None:
    _, kept = stripped(CONTAINERS / name, tmp_path)
    assert_measures_alike(CONTAINERS / name, kept)
    assert found_in(kept, LOCATIONS) == set()


@pytest.mark.skipif(not CONTAINERS.is_dir(), reason="no folder of containers beside the checkout")
def test_the_places_and_devices_searched_for_were_there() -> None:
    there = set().union(*(found_in(path, LOCATIONS) for path in CONTAINERS.iterdir() if path.suffix != ".md"))
    assert there == set(LOCATIONS)


@pytest.mark.skipif(not CONTAINERS.is_dir(), reason="no folder of containers beside the checkout")
@pytest.mark.parametrize("name", sorted(REFUSED))
def test_slow_motion_of_unknown_speed_is_refused_at_the_door(name: str, tmp_path: Path) -> None:
    with pytest.raises(ClipError, match=r"super slow motion"):
        stripped(CONTAINERS / name, tmp_path)


def test_a_sample_clip(tmp_path: Path) -> None:
    clip = min(CLIPS.glob("*.mp4"), key=lambda path: path.stat().st_size)
    facts, kept = stripped(clip, tmp_path)
    assert facts.container == "mp4"
    assert_measures_alike(clip, kept)


@pytest.mark.parametrize(
    ("ending", "flags"),
    [(ending, flags) for ending in ("mp4", "mov") for flags in ("", "+use_metadata_tags", "+frag_keyframe")]
    + [("webm", ""), ("mkv", "")],
)
def test_planted_words_are_gone(ending: str, flags: str, tmp_path: Path) -> None:
    clip = write_clip(tmp_path / f"clip.{ending}", options={"movflags": flags} if flags else {})
    assert len(found_in(clip)) >= 3
    assert (VOICE in found_in(clip)) == (ending == "mov")
    facts, kept = stripped(clip, tmp_path)
    assert facts.container == ending
    assert found_in(kept) == set()
    assert_measures_alike(clip, kept)


@pytest.mark.parametrize("ending", ["mp4", "mkv"])
def test_text_between_pictures_of_hevc_is_gone(ending: str, tmp_path: Path) -> None:
    clip = write_clip(tmp_path / f"clip.{ending}", codec="libx265", tags={})
    assert found_in(clip, (BETWEEN, "x265 (build")) == {BETWEEN, "x265 (build"}
    _, kept = stripped(clip, tmp_path)
    assert found_in(kept, (BETWEEN, "x265 (build")) == set()
    assert_measures_alike(clip, kept)


def test_codecs_of_older_cameras_are_refused(tmp_path: Path) -> None:
    clip = write_clip(tmp_path / "clip.mov", codec="mpeg4", tags={})
    with pytest.raises(ClipError, match=r"is coded as mpeg4; send it as H\.264"):
        stripped(clip, tmp_path)


def test_nothing_of_planted_words_was_never_there(tmp_path: Path) -> None:
    clips = [
        write_clip(tmp_path / "tags.mov", options={"movflags": "+use_metadata_tags"}),
        write_clip(tmp_path / "clip.mkv"),
    ]
    assert set().union(*map(found_in, clips)) == set(PLANTED)

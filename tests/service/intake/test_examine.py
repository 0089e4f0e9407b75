"""Clips that must not come in, and that looking into them harms nothing."""

import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import av
import pytest
from structlog.testing import capture_logs

from models.errors import ClipError
from service.intake import examine as module
from service.intake.examine import examine
from service.intake.filmed import filmed_at
from service.settings import Settings
from tests.service.intake.phones import box, spoken, write_clip


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=tmp_path)


@pytest.fixture(scope="session")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_clip(tmp_path_factory.mktemp("phones") / "clip.mp4", options={"movflags": "+use_metadata_tags"})


def refused(file: Path, settings: Settings, tmp_path: Path) -> str:
    """The refusal's words; nothing is left."""
    to = tmp_path / "kept"
    with pytest.raises(ClipError) as fault:
        examine(file, to, settings)
    assert not to.exists()
    return str(fault.value)


def test_a_sound_clip_passes(clip: Path, settings: Settings, tmp_path: Path) -> None:
    facts = examine(clip, tmp_path / "kept", settings)
    assert facts.container == "mp4"
    assert facts.seconds == pytest.approx(1.55, abs=0.1)
    assert facts.filmed == datetime(2026, 10, 5, 9, 30, tzinfo=UTC)
    assert (tmp_path / "kept").stat().st_size > 1000


@pytest.mark.parametrize(
    ("name", "limit", "words"),
    [
        ("clip_max_seconds", 1, r"lasts 2 s; cut it to one set, at most 1 s"),
        ("clip_max_pixels", 19_199, r"160 x 120 pixels; film with at most 0\.0192 million"),
    ],
)
def test_clips_beyond_the_limits(clip: Path, tmp_path: Path, name: str, limit: int, words: str) -> None:
    assert re.search(words, refused(clip, Settings(data=tmp_path).model_copy(update={name: limit}), tmp_path))


def test_a_file_that_is_too_large_is_not_even_opened(settings: Settings, tmp_path: Path) -> None:
    large = tmp_path / "large.mp4"
    with large.open("wb") as file:
        file.truncate((settings.clip_max_mb << 20) + 1)
    assert "has 500 MB; cut it to one set, at most 500 MB" in refused(large, settings, tmp_path)


def test_what_is_no_clip(settings: Settings, tmp_path: Path) -> None:
    contents = {
        "playlist": b"#EXTM3U\n#EXTINF:10,\n/etc/passwd\n",
        "nothing": b"",
        "noise": os.urandom(100_000),
        "head": box(b"ftyp", b"isom\0\0\2\0isomavc1mp41"),
    }
    for name, content in contents.items():
        file = tmp_path / f"{name}.mp4"
        file.write_bytes(content)
        assert refused(file, settings, tmp_path).count("\n") == 0


def test_a_clip_that_is_cut_off(clip: Path, settings: Settings, tmp_path: Path) -> None:
    cut = tmp_path / "cut.mp4"
    cut.write_bytes(clip.read_bytes()[:5000])
    assert "cut off" in refused(cut, settings, tmp_path)


def test_sound_alone_is_no_clip(settings: Settings, tmp_path: Path) -> None:
    file = tmp_path / "sound.mov"
    with av.open(str(file), "w") as container:
        sound = container.add_stream("pcm_s16le", rate=8000, layout="mono")
        container.mux(sound.encode(spoken()))
    assert "no moving picture" in refused(file, settings, tmp_path)


def test_other_containers_are_refused_by_name(settings: Settings, tmp_path: Path) -> None:
    clip = write_clip(tmp_path / "clip.avi", codec="mpeg4", tags={})
    assert refused(clip, settings, tmp_path).startswith("The file is no MP4, MOV, WebM or MKV clip")


def test_a_name_that_lies_does_not_matter(clip: Path, settings: Settings, tmp_path: Path) -> None:
    renamed = tmp_path / "clip.webm"
    renamed.write_bytes(clip.read_bytes())
    assert examine(renamed, tmp_path / "kept", settings).container == "mp4"


def test_a_process_that_hangs_is_ended(
    clip: Path, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "PATIENCE", 0.01)
    assert "takes too long" in refused(clip, settings, tmp_path)


@pytest.mark.parametrize(
    ("deed", "words"),
    [
        ("bytearray(8 << 30)", "MemoryError"),
        ("open('full', 'wb').write(bytes(9 << 20))", "File too large"),
        ("open('full', 'wb').write(bytes(1))", ""),
    ],
)
def test_the_process_is_confined(deed: str, words: str, tmp_path: Path) -> None:
    program = (
        "from service.intake.look import _confine; from service.intake.facts import Limits;"
        f"_confine(Limits(seconds=1, pixels=1, bytes=1 << 20)); {deed}"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode != 0) == bool(words)
    assert words in done.stderr


def test_it_is_told_no_secrets(clip: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program in its place sees nothing of the service's environment."""
    spy = tmp_path / "spy"
    spy.write_text(f"#!/bin/sh\nenv > {tmp_path}/seen\nexit 3\n")
    spy.chmod(0o700)
    monkeypatch.setenv("PLUMBREP_S3_SECRET", "very-secret")
    monkeypatch.setattr(sys, "executable", str(spy))
    assert "cannot be looked into" in refused(clip, Settings(data=tmp_path), tmp_path)
    assert "very-secret" not in (tmp_path / "seen").read_text()


def test_of_a_crash_one_line_is_logged(clip: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spy = tmp_path / "spy"
    spy.write_text(f"#!/bin/sh\necho 'tag: someone at home' >&2\necho ' crashed {'x' * 400}' >&2\necho >&2\nexit 3\n")
    spy.chmod(0o700)
    monkeypatch.setattr(sys, "executable", str(spy))
    with capture_logs() as logged:
        refused(clip, Settings(data=tmp_path), tmp_path)
    assert [(line["status"], line["error"]) for line in logged] == [(3, f"crashed {'x' * 292}")]


@pytest.mark.parametrize(
    ("tags", "moment"),
    [
        ({}, None),
        ({"creation_time": "1904-01-01T00:00:00.000000Z"}, None),
        ({"creation_time": "2031-01-01T00:00:00Z"}, None),
        ({"creation_time": "soon"}, None),
        ({"creation_time": "2026-03-01T10:00:00"}, datetime(2026, 3, 1, 10, tzinfo=UTC)),
        (
            {"creation_time": "2026-03-01T10:00:09Z", "com.apple.quicktime.creationdate": "2026-03-01T12:00:00+0200"},
            datetime(2026, 3, 1, 10, tzinfo=UTC),
        ),
    ],
)
def test_when_it_was_filmed(tags: dict[str, str], moment: datetime | None) -> None:
    assert filmed_at(tags, datetime(2026, 11, 1, tzinfo=UTC)) == moment

"""What kept measurements depend on."""

from tests.bench.cache import imported


def test_tracks_depend_on_what_follows_and_not_on_what_reads() -> None:
    files = imported("vision/track.py")
    assert {"vision/track.py", "vision/clip.py", "vision/flow.py", "vision/pose.py"} <= set(files)
    assert not {"vision/measure.py", "vision/reps.py", "vision/motion.py", "vision/body_angles.py"} & set(files)


def test_imports_are_followed_through() -> None:
    assert "vision/track.py" in imported("vision/measure.py")
    assert "vision/movie.py" in imported("vision/measure.py")

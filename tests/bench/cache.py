"""What the bench has measured before: one JSON file per clip and state of the program, outside the repository."""

import hashlib
from collections.abc import Callable
from functools import cache
from importlib.metadata import version
from pathlib import Path

import platformdirs

from models.pose import landmark_model_sha256, weights_path

ROOT = Path(__file__).parents[2]
LIBRARIES = ("av", "mediapipe", "numpy", "opencv-contrib-python", "scipy")


def cached(clip: Path, state: str, make: Callable[[], str]) -> str:
    """The text kept for this clip and state, or made now and kept."""
    key = hashlib.sha256(f"{_digest(clip)} {state}".encode()).hexdigest()
    kept = Path(platformdirs.user_cache_dir("plumbrep")) / "bench" / f"{key}.json"
    if not kept.exists():
        text = make()
        kept.parent.mkdir(parents=True, exist_ok=True)
        part = kept.with_suffix(f".{hashlib.sha256(text.encode()).hexdigest()[:8]}.part")
        part.write_text(text, encoding="utf-8")
        part.replace(kept)
    return kept.read_text(encoding="utf-8")


@cache
def program_state(*sources: str) -> str:
    """Digest of all that can change a measurement: these files and folders, the landmark weights, the libraries."""
    roots = [ROOT / source for source in sources]
    files = [path for root in roots for path in (root.rglob("*") if root.is_dir() else [root])]
    paths = [path for path in files if path.suffix in {".py", ".toml"}]
    state = hashlib.sha256(landmark_model_sha256(weights_path()).encode())
    for path in sorted(paths):
        state.update(f"{path.relative_to(ROOT)} {_digest(path)}".encode())
    for library in LIBRARIES:
        state.update(f"{library} {version(library)}".encode())
    return state.hexdigest()


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()

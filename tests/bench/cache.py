"""What the bench has measured before, outside the repository: a file per clip and state of what made it."""

import ast
import hashlib
from collections.abc import Callable
from functools import cache
from importlib.metadata import version
from pathlib import Path

import platformdirs

from models.pose import landmark_model_sha256, weights_path

ROOT = Path(__file__).parents[2]
LIBRARIES = ("av", "mediapipe", "numpy", "opencv-contrib-python", "scipy")


def folder() -> Path:
    return Path(platformdirs.user_cache_dir("plumbrep")) / "bench"


def cached(clip: Path, state: str, make: Callable[[], str]) -> str:
    """The text kept for this clip and state, or made now and kept."""
    key = hashlib.sha256(f"{digest(clip)} {state}".encode()).hexdigest()
    kept = folder() / f"{key}.json"
    if not kept.exists():
        keep(kept, make().encode())
    return kept.read_text(encoding="utf-8")


def keep(path: Path, content: bytes) -> None:
    """Write a file that appears complete or not at all, whoever else writes it now."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(f".{hashlib.sha256(content).hexdigest()[:8]}.part")
    part.write_bytes(content)
    part.replace(path)


@cache
def program_state(*sources: str) -> str:
    """Digest of all that can change a measurement: these files and folders, the landmark weights, the libraries."""
    roots = [ROOT / source for source in sources]
    files = [path for root in roots for path in (root.rglob("*") if root.is_dir() else [root])]
    paths = [path for path in files if path.suffix in {".py", ".toml"}]
    state = hashlib.sha256(landmark_model_sha256(weights_path()).encode())
    for path in sorted(paths):
        state.update(f"{path.relative_to(ROOT)} {digest(path)}".encode())
    for library in LIBRARIES:
        state.update(f"{library} {version(library)}".encode())
    return state.hexdigest()


@cache
def imported(source: str, package: str = "vision") -> tuple[str, ...]:
    """A file and all files of a package that it imports, directly or not, relative to the repository."""
    found: list[str] = []
    waiting = [source]
    while waiting:
        path = waiting.pop()
        if path not in found:
            found.append(path)
            waiting += [file for name in _imports(ROOT / path) if (file := _file(name, package))]
    return tuple(sorted(found))


def _imports(path: Path) -> list[str]:
    """Dotted names that a file imports; `from a import b` may mean the module a.b, so that is among them."""
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names += [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
    return names


def _file(name: str, package: str) -> str | None:
    """The file of a dotted name, where it is one of the package."""
    stem = name.replace(".", "/")
    paths = [f"{stem}.py", f"{stem}/__init__.py"]
    return next((p for p in paths if name.startswith(f"{package}.") and (ROOT / p).exists()), None)


def digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()

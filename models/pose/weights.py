"""The landmark weights: fetched once, kept in the user's cache folder, checked on every use."""

import hashlib
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import platformdirs

from models.errors import WeightsError
from models.pose.bundle import bundle_from_wheel, is_bundle

_BUNDLE_NAME = "pose_landmarker_full.task"
_BUNDLE_SHA256 = "962c6e3c3e37c0831d93a1e6f5705630404dfc33326bc8a943784d9562eb13d4"

_BY_HAND = "PLUMBREP_WEIGHTS"
_REQUIREMENT = "mediapipe==0.10.21"
# The wheel is taken apart, never installed: its own Python version and platform are named whatever runs here.
_PIP_DOWNLOAD = (
    "download --no-deps --only-binary=:all: --python-version 3.11 --implementation cp --abi cp311 "
    f"--platform manylinux_2_28_x86_64 {_REQUIREMENT}"
)
_PIP_SECONDS = 900


def weights_path(given: Path | None = None) -> Path:
    """Path of a MediaPipe task bundle with the pose landmark weights.

    Args:
        given: A task bundle (`.task`), or a wheel file of mediapipe 0.10.21 to make one from. Without it, the file
            that the environment variable PLUMBREP_WEIGHTS names; without that, the bundle in the user's cache
            folder, which is made on first use from a wheel that pip fetches (36 MB). The bundle in the cache is
            checked against its sha256 on every call, and made anew when it differs.

    Raises:
        WeightsError: The file given is of neither kind, or the wheel cannot be fetched, or the cache folder cannot
            be written.
    """
    by_hand = given if given is not None else _path_from_environment()
    if by_hand is not None and by_hand.suffix != ".whl":
        return _checked_bundle(by_hand)
    cached = platformdirs.user_cache_path("plumbrep") / _BUNDLE_NAME
    if by_hand is not None:
        _keep(cached, bundle_from_wheel(by_hand))
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
        raise WeightsError(f"{path} is not a pose task bundle: give a .task file or a wheel of mediapipe 0.10.21")
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
        return bundle_from_wheel(_fetched_wheel(Path(folder)))


def _fetched_wheel(folder: Path) -> Path:
    """Wheel that pip downloads into `folder`, from whichever package index this machine's pip uses."""
    command = [sys.executable, "-m", "pip", *_PIP_DOWNLOAD.split(), "--quiet", "--no-input", "--dest", str(folder)]
    try:
        run = subprocess.run(
            command, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=_PIP_SECONDS, check=False
        )
    except subprocess.TimeoutExpired:
        raise WeightsError(_cannot_fetch(f"pip gave no answer in {_PIP_SECONDS} s")) from None
    wheels = sorted(folder.glob("*.whl"))
    if run.returncode != 0 or not wheels:
        lines = run.stderr.strip().splitlines() or [f"pip ended with status {run.returncode}"]
        raise WeightsError(_cannot_fetch(lines[-1].removeprefix("ERROR: ")))
    return wheels[0]


def _cannot_fetch(reason: str) -> str:
    return (
        f"the landmark weights cannot be fetched ({reason}): connect to a package index and try again, or run "
        f"`pip {_PIP_DOWNLOAD}` where there is one and set {_BY_HAND} to the wheel file"
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

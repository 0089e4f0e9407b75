"""The shared libraries of the operating system that MediaPipe and OpenCV load."""

import ctypes
import sys

from models.errors import BadInput

# Shared library -> the Debian and Ubuntu package that holds it.
_LINUX_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGLESv2.so.2": "libgles2",
    "libGL.so.1": "libgl1",
    "libgthread-2.0.so.0": "libglib2.0-0",
}


def require_system_libraries(libraries: dict[str, str] | None = None) -> None:
    """Say in one line which system libraries are missing, before an import fails in three pages.

    Call it before the first import of `mediapipe` or `cv2`. It does nothing outside Linux, where the wheels need none.

    Args:
        libraries: Shared library name -> package to install; by default those that MediaPipe and OpenCV need.

    Raises:
        BadInput: At least one library cannot be loaded.
    """
    if sys.platform != "linux":
        return
    wanted = _LINUX_LIBRARIES if libraries is None else libraries
    missing = [name for name in wanted if not _loads(name)]
    if missing:
        packages = " ".join(wanted[name] for name in missing)
        raise BadInput(
            f"the system libraries {', '.join(missing)} are missing: install them (Debian, Ubuntu: apt-get install {packages})"
        )


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True

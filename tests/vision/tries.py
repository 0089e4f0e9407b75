"""Tries at following an athlete that end as a test wants them to."""

from typing import Any

import pytest

from models.errors import AthleteError
from vision import track as tracking
from vision.track import Tracks


class Tries:
    """Follows the athlete, but for tries that end as it is told; notes which were by the larger model."""

    def __init__(self, patched: pytest.MonkeyPatch, *ends: AthleteError) -> None:
        self.ends, self.larger = list(ends), list[bool]()
        whole = tracking.track

        def followed(*given: Any, finder: bytes | None = None) -> Tracks:
            self.larger.append(finder is not None)
            if self.ends:
                raise self.ends.pop(0)
            return whole(*given, finder=finder)

        patched.setattr(tracking, "track", followed)

"""What a worker counts: how measuring ends, how long its stages take, what verdicts come of it."""

from collections.abc import Mapping
from typing import Final

from prometheus_client import Counter, Histogram

from models.document import Document

CLIPS: Final = Counter("plumbrep_clips", "Clips by how their measuring ended.", ["state"])
STAGES: Final = Histogram(
    "plumbrep_stage_seconds",
    "How long the stages of measuring a clip took.",
    ["stage"],
    buckets=(0.3, 1, 3, 10, 30, 100, 300, 1000),
)
VERDICTS: Final = Counter("plumbrep_verdicts", "Reps, holds and sets by verdict.", ["of", "verdict"])


def count_end(state: str, seconds: Mapping[str, float] | None) -> None:
    """Count one clip's end, and what its stages took."""
    CLIPS.labels(state).inc()
    for stage, spent in (seconds or {}).items():
        STAGES.labels(stage).observe(spent)


def count_verdicts(document: Document) -> None:
    """Count the verdicts of one clip; what was not judged is counted as `none`."""
    for each in document.sets:
        VERDICTS.labels("set", each.verdict or "none").inc()
        for of, efforts in (("rep", each.reps), ("hold", each.holds)):
            for effort in efforts:
                VERDICTS.labels(of, effort.verdict or "none").inc()

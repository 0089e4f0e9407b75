"""Measurements and verdicts in words."""

from collections.abc import Iterable, Sequence

from models.document import Check, Document
from models.quantity import Measured, Q

DECIMALS = {"s": 2, "m/px": 5, "% of height": 2, "% of height/s": 2}
CAUTION = "This measures; it does not diagnose."
STATUS = {"whole": "whole", "short": "short", "failed": "failed", "cut_off": "cut off"}


def number(q: Q | None) -> str:
    """`2.14 ±0.08`, or a dash where there is no value; the unit stands elsewhere."""
    if not isinstance(q, Measured):
        return "-"
    places = DECIMALS.get(q.unit, 1)
    return f"{q.value:z.{places}f} ±{q.U95:.{places}f}"


def quantity(q: Q) -> str:
    """`2.14 ±0.08 s`, or the reason why there is no value."""
    return f"{number(q)} {q.unit}" if isinstance(q, Measured) else f"no value ({q.reason})"


def worst_check(checks: Sequence[Check] | None) -> Check | None:
    """The check that decides: missed before unsure before met, then the least probable."""
    rank = {"missed": 0, "unsure": 1, "met": 2, None: 3}
    return min(checks or (), key=lambda check: (rank[check.verdict], 1.0 if check.p is None else check.p), default=None)


def reason(checks: Sequence[Check] | None) -> str:
    """Why a rep, hold or set is not met; empty when it is."""
    worst = worst_check(checks)
    return worst.why if worst and worst.verdict in ("missed", "unsure") else ""


def numbers(values: Iterable[int]) -> str:
    """`1-3, 5`: a run of numbers as people write it."""
    runs: list[list[int]] = []
    for value in sorted(values):
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def listed(words: Sequence[str]) -> str:
    """`a, b and c`."""
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def clip_line(document: Document) -> str:
    """What the clip is: length, picture, rate, coding."""
    clip = document.clip
    rate = f"{clip.rate_mean:.1f} frames/s{' (varies)' if clip.rate_varies else ''}"
    slow = "" if clip.time_scale == 1 else f", times are real: {clip.time_scale:g} s for each second of the clip"
    return f"Clip: {clip.seconds:.1f} s, {clip.width}x{clip.height}, {clip.frames} frames, {rate}, {clip.codec}{slow}"


def camera_line(document: Document) -> str:
    """How the phone stood, and what it was levelled by."""
    camera = document.camera
    level = {
        "sensor": "the phone's sensor",
        "scene": "edges in the scene",
        "assumed": "an assumption, not a measurement",
    }
    angles = ", ".join(f"{name} {quantity(getattr(camera, name))}" for name in ("roll", "pitch", "yaw", "shake"))
    return f"Camera: {angles}; scale {quantity(camera.metres_per_pixel)}; level from {level[camera.level_from]}"

"""One picture that shows a measurement: angles against time, what was found in them, and the limits."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import numpy as np
from matplotlib.figure import Figure

from models.document import Document
from models.limit import Limit
from models.movements import Movement
from models.movements.movement import Angle
from vision.measure import Measurement
from vision.plot_file import save
from vision.plot_panels import (
    draw_angles,
    draw_key,
    draw_limits,
    draw_names,
    draw_stages,
    draw_sway,
    limited_angles,
    write_durations,
)
from vision.plot_style import INK, SIZE, make_plain
from vision.posture import LINES

INCHES_PER_SECOND, NARROWEST, WIDEST = 0.35, 9.0, 24.0
NO_LIMITS: Mapping[str, Limit] = MappingProxyType({})


def plot(measurement: Measurement, out: Path, limits: Mapping[str, Limit] = NO_LIMITS) -> None:
    """Draw a measurement as a PNG picture.

    The angle that drives the reps (in a hold: each joint that must stay still) and the body's tilt are drawn against
    time, seconds, with a band of +-U95; strokes, pauses and holds are shaded, and each rep carries its number and its
    verdict, or its status where nothing was checked. `limits` on these angles (by the name of their value, such as
    `bent.elbow` or `posture.body`) are dashed lines. `out` appears whole or not at all.

    Raises:
        OSError: `out` cannot be written.
    """
    save(draw(measurement, limits), out)


def draw(measurement: Measurement, limits: Mapping[str, Limit] = NO_LIMITS) -> Figure:
    """Draw a measurement as a figure that belongs to no window; see `plot`."""
    document, motion, movement = measurement.document, measurement.motion, measurement.movement
    shown = NO_LIMITS if motion.view.oblique else limits
    panels = panel_angles(document, movement, shown)
    steady = any(each.holds for each in document.sets)
    heights = [0.55, 3.2] + [2.2] * (len(panels) - 1) + [1.4] * steady
    width = float(np.clip(INCHES_PER_SECOND * document.clip.seconds, NARROWEST, WIDEST))
    figure = Figure(figsize=(width, 1.3 + sum(heights)), dpi=110, layout="constrained")
    figure.suptitle(f"{movement.title}: {found(document)}", x=0.01, ha="left", color=INK, fontsize=SIZE + 2)
    axes = figure.subplots(len(heights), 1, sharex=True, squeeze=False, gridspec_kw={"height_ratios": heights})[:, 0]
    for each in axes:
        make_plain(each)
    axes[0].set_xlim(0, document.clip.seconds)
    draw_names(axes[0], document)
    for panel, angles in zip(axes[1:], panels, strict=False):
        draw_stages(panel, document)
        draw_angles(panel, measurement, angles)
        draw_limits(panel, shown, angles)
    write_durations(axes[1], document, inches_per_second=width / document.clip.seconds)
    if steady:
        draw_stages(axes[-1], document)
        draw_sway(axes[-1], motion, document)
    axes[-1].set_xlabel("seconds on the clip's clock", fontsize=SIZE)
    draw_key(figure, document)
    return figure


def panel_angles(document: Document, movement: Movement, limits: Mapping[str, Limit]) -> list[tuple[Angle, ...]]:
    """The angles of each panel: joints (what moves, or must not, or is limited), then the body's tilt and other lines."""
    steady = any(each.holds for each in document.sets)
    moving = (movement.reps.driving,) if movement.reps else ()
    limited = limited_angles(limits)
    wanted = dict.fromkeys((*(movement.hold.still if steady else moving), *limited))
    joints = tuple(angle for angle in wanted if angle not in LINES)
    lines = dict.fromkeys((movement.tilt, *(angle for angle in limited if angle in LINES)))
    return [joints, tuple(lines)] if joints else [tuple(lines)]


def found(document: Document) -> str:
    """How many reps and holds there are, in words."""
    reps = [rep for each in document.sets for rep in each.reps]
    whole = sum(rep.status == "whole" for rep in reps)
    holds = sum(len(each.holds) for each in document.sets)
    words = [f"{whole} whole of {len(reps)} reps seen"] * bool(reps)
    words += [f"{holds} hold{'s' * (holds > 1)}"] * bool(holds)
    return ", ".join(words) or "no rep or hold found"

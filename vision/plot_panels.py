"""The pieces of the evidence plot, each drawn onto one panel."""

from collections.abc import Iterator, Mapping, Sequence
from typing import cast

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from models.document import Document, Hold, Rep
from models.limit import Limit
from models.movements.movement import Angle
from models.quantity import Measured
from vision.band import angle_u95
from vision.filters import without_trend
from vision.measure import Measurement
from vision.motion import Motion
from vision.plot_style import INK, LEGEND, SIZE, STYLES
from vision.timeline import Stage, stages

HATCH = "#c3cacf"
# Grey and hatch of each stage, so that it reads without colour.
STAGES = {
    "lowering": ("#dfe3e6", "////"),
    "bottom pause": ("#f6f7f8", "--"),
    "raising": ("#eef1f3", r"\\"),
    "top pause": ("#ffffff", "..."),
    "still": ("#e6eaed", "//"),
}
HATCH_WIDTH = 0.6
ROOM = 0.4  # inches that a stroke must span for its duration to be written into it
CLEARANCE = 0.075  # least distance between two limit labels, as a share of the panel's height
MARGIN = 1.0  # seconds around the sets that decide how tall a panel is; walking in and out does not


def draw_names(axes: Axes, document: Document) -> None:
    """Write over each rep and hold its number and its verdict, or its status where nothing was checked."""
    axes.set_axis_off()
    axes.set_ylim(0, 1)
    for each in document.sets:
        items: tuple[Rep | Hold, ...] = (*each.reps, *each.holds)
        for item in items:
            axes.plot([item.start, item.end], [0.06, 0.06], color=INK, linewidth=2, solid_capstyle="butt")
            middle = (item.start + item.end) / 2
            axes.text(middle, 0.22, _name(item), ha="center", va="bottom", color=INK, fontsize=SIZE, linespacing=1.25)


def _name(item: Rep | Hold) -> str:
    if isinstance(item, Hold):
        still = f", still {item.still.value:.1f} s" if isinstance(item.still, Measured) else ""
        return f"hold {item.n}{still}\n{item.verdict or ''}".strip()
    status = item.status.replace("_", " ")
    if item.verdict is None:
        return f"{item.n}\n{status}"
    return f"{item.n}{'' if item.status == 'whole' else f' {status}'}\n{item.verdict}"


def draw_stages(axes: Axes, document: Document) -> None:
    """Shade strokes, pauses and holds."""
    for stage in _all_stages(document):
        fill, hatch = STAGES[stage.name]
        span = axes.axvspan(stage.start, stage.end, facecolor=fill, edgecolor=HATCH, hatch=hatch, linewidth=0, zorder=0)
        span.set_hatch_linewidth(HATCH_WIDTH)


def _all_stages(document: Document) -> list[Stage]:
    return [stage for each in document.sets for stage in stages(each)]


def draw_angles(axes: Axes, measurement: Measurement, angles: Sequence[Angle]) -> None:
    """Draw each angle as a line in a band of +-U95; gaps where the athlete was not seen."""
    motion = measurement.motion
    for angle, (colour, dashes) in zip(angles, STYLES * len(angles), strict=False):
        values = np.where(motion.present, motion.angles[angle], np.nan)
        if not motion.view.oblique:
            band = angle_u95(measurement, angle)
            axes.fill_between(motion.time, values - band, values + band, color=colour, alpha=0.22, linewidth=0)
        axes.plot(motion.time, values, color=colour, linestyle=dashes, linewidth=1.4, label=angle)
    axes.set_ylim(*_height(measurement, angles))
    doubt = "\n(shape only: the view is turned)" if motion.view.oblique else ""
    axes.set_ylabel(f"{' and '.join(angles) if len(angles) < 3 else 'joints'}, degrees{doubt}", fontsize=SIZE)
    if len(angles) > 1:
        axes.legend(loc="upper left", ncols=len(angles), **LEGEND)


def _height(measurement: Measurement, angles: Sequence[Angle]) -> tuple[float, float]:
    """Lowest and highest degree of a panel: what the angles and their bands span while a set is on."""
    motion = measurement.motion
    inside = np.zeros(len(motion.time), dtype=bool)
    for each in measurement.document.sets:
        inside |= (motion.time >= each.start - MARGIN) & (motion.time <= each.end + MARGIN)
    inside = (inside if inside.any() else ~inside) & motion.present
    values = np.concatenate([motion.angles[angle][inside] for angle in angles])
    values = values[np.isfinite(values)]
    low, high = (float(np.min(values)), float(np.max(values))) if values.size else (0.0, 90.0)
    bands = [np.median(angle_u95(measurement, angle)[inside]) for angle in angles] if inside.any() else [0.0]
    air = max(3.0, 0.12 * (high - low), 1.1 * float(max(bands)))
    return low - air, high + air


def draw_limits(axes: Axes, limits: Mapping[str, Limit], angles: Sequence[Angle]) -> None:
    """Draw each end of each limit on these angles as a dashed line, its words in the margin at the right."""
    ends = sorted({end for name, limit in limits.items() for end in _ends(name, limit, angles)})
    low, high = axes.get_ylim()
    air = 0.06 * (high - low)
    low, high = min([low, *(value - air for value, _ in ends)]), max([high, *(value + air for value, _ in ends)])
    axes.set_ylim(low, high)
    lowest_free = low
    for value, words in ends:
        axes.axhline(value, color=INK, linestyle=(0, (2, 2)), linewidth=1.0)
        height = max(value, lowest_free)
        lowest_free = height + CLEARANCE * (high - low)
        where = axes.get_yaxis_transform()
        axes.text(1.005, height, words, transform=where, ha="left", va="center", color=INK, fontsize=SIZE)


def limited_angles(limits: Mapping[str, Limit]) -> tuple[Angle, ...]:
    """The angles that have a limit at one of their ends or in a hold."""
    named = [angle_of(name) for name in limits]
    return tuple(dict.fromkeys(angle for angle in named if angle is not None))


def angle_of(name: str) -> Angle | None:
    """The angle that a limit is on, if it is on a posture: `elbow` for `bent.elbow`, None for `lowering`."""
    part, _, what = name.partition(".")
    return cast("Angle", what) if part in ("straight", "bent", "posture") else None


def _ends(name: str, limit: Limit, angles: Sequence[Angle]) -> Iterator[tuple[float, str]]:
    """Yield each end of a limit with its words; a limit's name is that of its value, as `bent.elbow`."""
    angle = angle_of(name)
    if angle not in angles:
        return
    part = name.partition(".")[0]
    where = "" if part == "posture" else f", {part}"
    which = f"{angle} " if len(angles) > 1 else ""
    for word, value in (("at least", limit.low), ("at most", limit.high)):
        if value is not None:
            yield value, f"{which}{word} {value:g}°{where}"


def write_durations(axes: Axes, document: Document, inches_per_second: float) -> None:
    """Write into each stroke how long it took, where there is room."""
    strokes = [
        stroke for each in document.sets for rep in each.reps for stroke in (rep.lowering, rep.raising) if stroke
    ]
    for stroke in strokes:
        if isinstance(stroke.duration, Measured) and (stroke.end - stroke.start) * inches_per_second > ROOM:
            middle = (stroke.start + stroke.end) / 2
            axes.text(
                middle,
                0.015,
                f"{stroke.duration.value:.1f} s",
                transform=axes.get_xaxis_transform(),
                ha="center",
                va="bottom",
                color=INK,
                fontsize=SIZE - 1,
            )


def draw_sway(axes: Axes, motion: Motion, document: Document) -> None:
    """Draw how the centre of mass moves in each hold, along the floor and vertical, without its linear trend."""
    scale = document.camera.metres_per_pixel
    factor, unit = (1000 * scale.value, "mm") if isinstance(scale, Measured) else (1.0, "pixels")
    along = np.array([-motion.down[1], motion.down[0]])
    for hold in (hold for each in document.sets for hold in each.holds):
        inside = (motion.time >= hold.start) & (motion.time <= hold.end) & motion.present
        for axis, (colour, dashes) in zip((along, -motion.down), STYLES, strict=False):
            sway = factor * without_trend(motion.centre_of_mass[inside] @ axis, motion.time[inside])
            axes.plot(motion.time[inside], sway, color=colour, linestyle=dashes, linewidth=1.0)
    axes.set_ylabel(f"centre of mass,\n{unit}", fontsize=SIZE)
    names = [
        Line2D([], [], color=c, linestyle=d, label=n)
        for n, (c, d) in zip(("along the floor", "vertical"), STYLES, strict=False)
    ]
    axes.legend(handles=names, loc="upper left", ncols=2, **LEGEND)


def draw_key(figure: Figure, document: Document) -> None:
    """Explain the shading and the band at the foot of the picture."""
    found = {stage.name for stage in _all_stages(document)}
    handles = [
        Patch(facecolor=fill, edgecolor=HATCH, hatch=hatch, linewidth=0.5, label=name)
        for name, (fill, hatch) in STAGES.items()
        if name in found
    ]
    handles.append(Patch(facecolor=STYLES[0][0], alpha=0.22, label="±U95 (95 %)"))
    figure.legend(
        handles=handles, loc="outside lower left", ncols=len(handles), fontsize=SIZE, frameon=False, labelcolor=INK
    )

"""One picture of what is asked along the way from here to the goal."""

from pathlib import Path as File

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from models.path import Path, Step
from models.quantity import Measured
from service.plans import dose, what
from vision.plot_file import save
from vision.plot_style import FAINT, INK, LEGEND, SIZE, STYLES, make_plain

ROW = 0.34  # inches a step


def draw_path(path: Path, out: File) -> None:
    """Draw each step as a row: the load at the hands, and what limits the goal, with their U95; PNG.

    Raises:
        OSError: `out` cannot be written.
    """
    save(path_figure(path), out)


def path_figure(path: Path) -> Figure:
    """The picture as a figure that belongs to no window. Time runs down: step 0 is at the top, the goal at the foot."""
    steps = path.steps
    figure = Figure(figsize=(9.5, 1.5 + ROW * len(steps)), dpi=110, layout="constrained")
    title = f"From {what(steps[0].prescription)} to {what(path.goal)}"
    figure.suptitle(title, x=0.01, ha="left", color=INK, fontsize=SIZE + 2)
    axes = figure.subplots()
    make_plain(axes)
    axes.grid(axis="x", color=FAINT, alpha=0.2, linewidth=0.6)
    _draw_line(axes, steps, "hands", "load at the hands, % of body weight", 0)
    limit = "load at the hands" if path.goal_limit == "hands" else f"moment at the {path.goal_limit}"
    _draw_line(axes, steps, "share", f"{limit}, as it is done, % of the goal", 1)
    _draw_flags(axes, steps)
    axes.set_yticks(range(len(steps)), [_name(step) for step in steps], fontsize=SIZE, color=INK)
    axes.set_ylim(len(steps) - 0.5, -0.7)
    axes.set_xlim(min(0.0, axes.get_xlim()[0]), 1.04 * axes.get_xlim()[1])
    axes.set_xlabel("%, with U95", fontsize=SIZE)
    figure.legend(loc="outside lower left", ncols=2, **{**LEGEND, "frameon": False})
    return figure


def _name(step: Step) -> str:
    return f"{what(step.prescription)}   {dose(step.prescription)}   {step.n}"


def _draw_line(axes: Axes, steps: tuple[Step, ...], which: str, label: str, style: int) -> None:
    """A line from step to step through each value, with its U95; gaps where there is none."""
    colour, dashes = STYLES[style]
    found = [(step.n, value) for step in steps if isinstance(value := getattr(step, which), Measured)]
    rows, values = [n for n, _ in found], [value.value for _, value in found]
    doubts = [value.U95 for _, value in found]
    axes.errorbar(
        values,
        rows,
        xerr=doubts,
        color=colour,
        linestyle=dashes,
        marker="o",
        markersize=4,
        linewidth=1.2,
        elinewidth=0.8,
        capsize=2,
        label=label,
    )


def _draw_flags(axes: Axes, steps: tuple[Step, ...]) -> None:
    """Beside each step by how much more it asks than the one before; where that is too much, in bold."""
    where = axes.get_yaxis_transform()
    axes.text(1.01, -0.6, "rise", transform=where, va="center", color=FAINT, fontsize=SIZE - 0.5)
    for step in steps:
        if step.rise is not None:
            weight = "bold" if step.flagged else "normal"
            axes.text(
                1.01,
                step.n,
                f"{step.rise:+.0f} %",
                transform=where,
                va="center",
                color=INK,
                fontsize=SIZE - 0.5,
                weight=weight,
            )

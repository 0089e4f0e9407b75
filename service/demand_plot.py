"""One picture of what the variants of a movement ask, and where the asked one lies among them."""

from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from models.body.demand import Demand
from models.quantity import Measured
from service.demanding import Demands, Row
from vision.plot_file import save
from vision.plot_style import FAINT, INK, SIZE, STYLES, make_plain

ROW = 0.3  # inches a row


def draw_demands(found: Demands, out: Path) -> None:
    """Draw each row and each variant as a point with its U95, in % of the full version; PNG.

    Where there is no full version to compare with, the load at the hands is drawn. `out` appears whole or not at all.

    Raises:
        OSError: `out` cannot be written.
    """
    save(demand_figure(found), out)


def demand_figure(found: Demands) -> Figure:
    """The picture as a figure that belongs to no window."""
    rows = [*reversed(found.variants), *reversed(found.rows)]
    figure = Figure(figsize=(8.0, 1.5 + ROW * len(rows)), dpi=110, layout="constrained")
    figure.suptitle(f"{found.what}: what it asks", x=0.01, ha="left", color=INK, fontsize=SIZE + 2)
    axes = figure.subplots()
    make_plain(axes)
    by_ratio = any(isinstance(row.demand.ratio, Measured) for row in found.rows)
    for height, row in enumerate(rows):
        _draw_row(axes, height, row, by_ratio=by_ratio, asked=height >= len(found.variants))
    names = [row.name if n < len(found.variants) else f"{row.name} *" for n, row in enumerate(rows)]
    axes.set_yticks(range(len(rows)), names, fontsize=SIZE, color=INK)
    axes.set_ylim(-0.7, len(rows) - 0.3)
    if found.variants:
        axes.axhline(len(found.variants) - 0.5, color=FAINT, linewidth=0.6)
    what = f"% of {found.movement} in full" if by_ratio else "load at the hands, % of body weight"
    axes.set_xlabel(f"{what}, \u00b1U95   (* as asked; the others: each variant as it usually is)", fontsize=SIZE)
    if by_ratio:
        axes.axvline(100, color=FAINT, linestyle=(0, (2, 2)), linewidth=1.0, zorder=0)
    axes.set_xlim(0, 1.04 * axes.get_xlim()[1])
    return figure


def _draw_row(axes: Axes, height: int, row: Row, *, by_ratio: bool, asked: bool) -> None:
    value = _value(row.demand, by_ratio=by_ratio)
    if value is None:
        axes.text(
            0.01, height, "no value", transform=axes.get_yaxis_transform(), va="center", color=FAINT, fontsize=SIZE
        )
        return
    colour = STYLES[0][0] if asked else INK
    axes.errorbar(
        value.value, height, xerr=value.U95, color=colour, marker="o" if asked else ".", linewidth=1.2, capsize=2
    )
    axes.annotate(
        f"{value.value:.0f}",
        (value.value, height),
        xytext=(0, 5),
        textcoords="offset points",
        ha="center",
        color=INK,
        fontsize=SIZE - 1,
    )


def _value(demand: Demand, *, by_ratio: bool) -> Measured | None:
    value = demand.ratio if by_ratio else demand.hands
    return value if isinstance(value, Measured) else None

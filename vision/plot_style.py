"""The look that all plots share: plain, dark on white, lines that can be told apart without colour."""

from typing import Any, Final, Literal

from matplotlib.axes import Axes

INK, FAINT = "#1d2b36", "#5d6b76"
STYLES: Final[tuple[tuple[str, Literal["-", "--", "-.", ":"]], ...]] = (
    ("#1f5a7a", "-"),
    ("#7a4a1e", "--"),
    ("#4a3f6b", "-."),
    ("#3d5c50", ":"),
)
SIZE = 8.5  # points
LEGEND: Final[dict[str, Any]] = {"fontsize": SIZE, "labelcolor": INK, "edgecolor": "white", "framealpha": 0.85}


def make_plain(axes: Axes) -> None:
    """Give a panel the plot's own restrained look."""
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set_color(FAINT)
    axes.tick_params(colors=FAINT, labelsize=SIZE, labelcolor=INK)
    axes.yaxis.label.set_color(INK)
    axes.xaxis.label.set_color(INK)

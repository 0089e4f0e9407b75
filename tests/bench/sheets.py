"""Tables of text, shown on a console or written as Markdown."""

from dataclasses import dataclass

from rich.table import Table


@dataclass(frozen=True)
class Sheet:
    """The first column names the row."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def on_console(self) -> Table:
        table = Table(*self.columns, title=self.title)
        for row in self.rows:
            table.add_row(*row)
        return table

    def in_markdown(self) -> str:
        lines = [self.columns, tuple("---" for _ in self.columns), *self.rows]
        return "\n".join(f"| {' | '.join(cell or ' ' for cell in line)} |".replace("|   |", "| |") for line in lines)


def number(x: float | None) -> str:
    """As many digits as mean something here."""
    if x is None:
        return ""
    return f"{x:.3f}" if abs(x) < 1 else f"{x:.2f}" if abs(x) < 10 else f"{x:.1f}" if abs(x) < 100 else f"{x:.0f}"


def percent(share: float | None, digits: int = 0) -> str:
    return "" if share is None else f"{100 * share:.{digits}f} %"


def percent_interval(interval: tuple[float, float] | None, digits: int = 0) -> str:
    return "" if interval is None else f"{100 * interval[0]:.{digits}f} to {100 * interval[1]:.{digits}f}"


def yes(kept: bool | None) -> str:
    return {True: "yes", False: "NO", None: ""}[kept]

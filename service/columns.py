"""A table of numbers that fits the window: in a narrow one its columns come in parts, one below the other."""

from collections.abc import Mapping, Sequence

from rich import box
from rich.console import Console
from rich.measure import Measurement as Extent
from rich.table import Table

from service.tables import PLAIN_WIDTH

Columns = Mapping[str, Sequence[str]]


def print_columns(names: Columns, values: Columns, console: Console, *, words: frozenset[str] = frozenset()) -> None:
    """Print a line for each row: first its names, to the left, then its values, to the right unless they are words."""
    left = frozenset(names) | words
    table = _table({**names, **values}, left)
    if Extent.get(console, console.options.update(max_width=PLAIN_WIDTH), table).maximum <= console.width:
        console.print(table)
        return
    middle = (len(values) + 1) // 2
    for part in (list(values)[:middle], list(values)[middle:]):
        console.print(_table({**names, **{heading: values[heading] for heading in part}}, left))
        console.print()


def _table(columns: Columns, left: frozenset[str]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for heading in columns:
        table.add_column(heading, no_wrap=heading not in left, justify="left" if heading in left else "right")
    for row in zip(*columns.values(), strict=True):
        table.add_row(*row)
    return table

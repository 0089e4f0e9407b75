"""Lines of running text on a console."""

from collections.abc import Callable

from rich.console import Console

Say = Callable[[str], None]


def speaker(console: Console) -> Say:
    """A function that prints a line; it is folded on a terminal only."""
    return lambda line: console.print(line, soft_wrap=not console.is_terminal)

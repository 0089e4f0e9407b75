"""A table of numbers that fits the window, and pictures that are whole or not there."""

import io
from pathlib import Path

import pytest
from matplotlib.figure import Figure
from rich.console import Console

from service.columns import print_columns
from vision.plot_file import save

NAMES = {"step": ["0", "1*"], "what": ["row, rings", "front-lever, tuck"]}
VALUES = {f"value\n{n}": ["100.0 ±10.0", "-"] for n in range(6)}


def printed(width: int) -> list[str]:
    page = io.StringIO()
    print_columns(NAMES, VALUES, Console(file=page, width=width, highlight=False))
    return page.getvalue().splitlines()


def test_in_a_wide_window_it_is_one_table() -> None:
    lines = printed(200)
    assert sum(line.startswith("1*") for line in lines) == 1
    assert lines[-1].count("-") >= 6


def test_in_a_narrow_one_each_part_begins_with_the_names() -> None:
    lines = printed(80)
    assert sum(line.startswith("1*    front-lever, tuck") for line in lines) == 2
    assert all(len(line) <= 80 for line in lines)
    assert "".join(lines).count("100.0 ±10.0") == 6


def test_a_picture_is_whole_or_not_there(tmp_path: Path) -> None:
    class Broken(Figure):
        def savefig(self, *_: object, **__: object) -> None:
            raise OSError("no room")

    with pytest.raises(OSError, match="no room"):
        save(Broken(), tmp_path / "x.png")
    assert list(tmp_path.iterdir()) == []
    save(Figure(), tmp_path / "x.png")
    assert [path.name for path in tmp_path.iterdir()] == ["x.png"]
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")

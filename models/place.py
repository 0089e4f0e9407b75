"""Where a key stands in a TOML text.

The standard reader gives no positions. It does say whether a text is whole, so it can cut the text into statements: a
statement is the fewest lines that it takes on their own.
"""

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

LONGEST = 200
"""Lines of one statement beyond which its place is not looked for: trying each length would take too long."""

Path = tuple[str, ...]


@dataclass(frozen=True)
class Place:
    """A line and, where it is sure, a column, both counted from 1."""

    line: int
    column: int | None = None

    def __str__(self) -> str:
        return f"line {self.line}" + (f", column {self.column}" if self.column else "")


@dataclass(frozen=True)
class Statement:
    """One table header or one `key = value`: its first line (from 1), its text, and the keys it writes, outer first."""

    line: int
    text: str
    paths: tuple[Path, ...]


def find(text: str, key: Sequence[str | int]) -> Place | None:
    """Find where a key, or the innermost table around it that is written, stands.

    `text` must be TOML that was read without an error; `key` is the way to a value, outermost name first. None where
    no part of it is written.
    """
    wanted = tuple(str(part) for part in key)
    best, depth = None, 0
    for statement in _statements(text):
        shared = max((_shared(path, wanted) for path in statement.paths), default=0)
        if shared > depth:
            best, depth = statement, shared
    return _in_statement(best, wanted[depth - 1]) if best else None


def _statements(text: str) -> Iterator[Statement]:
    lines = text.replace("\r\n", "\n").split("\n")
    table: Path = ()
    arrays: dict[Path, int] = {}
    start = 0
    for end in range(1, len(lines) + 1):
        chunk = "\n".join(lines[start:end])
        try:
            found = tomllib.loads(chunk)
        except tomllib.TOMLDecodeError:
            if end - start >= LONGEST:
                return
            continue
        paths = tuple(_paths(found))
        header = chunk.lstrip()
        if header.startswith("["):
            table = _table(max(paths, key=len), arrays, another=header.startswith("[["))
            yield Statement(start + 1, chunk, tuple(table[:depth] for depth in range(1, len(table) + 1)))
        elif paths:
            yield Statement(start + 1, chunk, tuple(table + path for path in paths))
        start = end


def _table(names: Path, arrays: dict[Path, int], *, another: bool) -> Path:
    """The way to the table of a header; `arrays` says which entry of each array of tables is the latest one."""
    way: Path = ()
    for depth, name in enumerate(names):
        way = (*way, name)
        if another and depth == len(names) - 1:
            arrays[way] = arrays.get(way, -1) + 1
        if way in arrays:
            way = (*way, str(arrays[way]))
    return way


def _paths(tree: Any) -> Iterator[Path]:
    """The way to each key, the outer ones first; an array of tables is entered, as its header names its last table."""
    tree = tree[-1] if isinstance(tree, list) and tree and isinstance(tree[-1], dict) else tree
    if isinstance(tree, dict):
        for name, branch in tree.items():
            yield (name,)
            yield from ((name, *rest) for rest in _paths(branch))


def _shared(path: Path, wanted: Path) -> int:
    """How many names two ways have in common from the start."""
    same = [a == b for a, b in zip(path, wanted, strict=False)]
    return same.index(False) if False in same else len(same)


def _in_statement(statement: Statement, name: str) -> Place:
    """The column of a name, if it stands there once: elsewhere it may be part of a text or a comment."""
    found = list(re.finditer(rf"(?<![\w-]){re.escape(name)}(?![\w-])", statement.text))
    if len(found) != 1:
        return Place(statement.line)
    before = statement.text[: found[0].start()]
    return Place(statement.line + before.count("\n"), found[0].start() - before.rfind("\n"))

"""Renew what docs/ says of the catalogue from the catalogue itself: `python -m tests.service.movement_docs`.

These are the tables of docs/movements.md, each found by its head, and docs/movement.schema.json.
"""

import json
from collections.abc import Iterator

from models.movements import Movement, Reps, load_movement, movement_names
from models.movements.schema import movement_schema
from service.catalogue import FROM, SCALINGS
from tests.service.conftest import ROOT

PAGE = ROOT / "docs" / "movements.md"
SCHEMA = ROOT / "docs" / "movement.schema.json"
Row = tuple[str, ...]


def tables() -> dict[Row, list[Row]]:
    """The rows of each table, by its head."""
    found = [load_movement(name) for name in movement_names()]
    return {
        ("movement", "usual", "driven by", "range", "first", "body line", "film from"): [_measuring(m) for m in found],
        ("movement", "standard", "measured as"): [row for m in found for row in _standards(m)],
        ("movement", *SCALINGS.values()): [_scalings(m) for m in found],
        ("movement", "swing, % of height", "hip angle, deg"): [row for m in found for row in _strict(m)],
    }


def schema() -> str:
    """The text of the schema's file."""
    return json.dumps(movement_schema(), indent=2) + "\n"


def renewed(page: str) -> str:
    """A page with each table's rows in place of those under its head."""
    for head, rows in tables().items():
        top = _line(head) + "|" + "---|" * len(head) + "\n"
        before, found, after = page.partition(top)
        if not found:
            raise ValueError(f"there is no table {_line(head)}")
        rest = after.splitlines(keepends=True)
        while rest and rest[0].startswith("|"):
            del rest[0]
        page = before + top + "".join(map(_line, rows)) + "".join(rest)
    return page


def _line(cells: Row) -> str:
    return f"| {' | '.join(cells)} |\n"


def _measuring(movement: Movement) -> Row:
    reps = movement.reps
    driven = (f"{reps.driving}, {reps.lowering}", _range(reps), reps.first) if reps else ("-", "-", "-")
    line = f"{movement.line}, {movement.tilt}"
    return (movement.name, movement.usual, *driven, line, ", ".join(FROM[view] for view in movement.views))


def _range(reps: Reps) -> str:
    sign = " %" if reps.driving == "reach" else "°"
    ends = (reps.ends.straight, reps.ends.bent) if reps.ends else ("straight", "bent")
    return f"{reps.straight:g}{sign} ({ends[0]}) to {reps.bent:g}{sign} ({ends[1]})"


def _standards(movement: Movement) -> Iterator[Row]:
    for entry in movement.standards:
        point, reference = (name.replace("_", " ") for name in (entry.point, entry.reference))
        yield movement.name, f"`{entry.name}`", f"{point} {entry.way} {reference}"


def _scalings(movement: Movement) -> Row:
    suits = movement.scalings
    levers = [name for name, variant in movement.variants.items() if variant.scaling == "leverage"]
    held = [f"{at:g}" for at in suits.hold_at] or (["own posture"] if suits.hold else [])
    cells = (suits.help_at, ["yes"] * suits.lowering_only, suits.load_at, held, levers, suits.stability)
    return (movement.name, *(", ".join(cell) or "-" for cell in cells))


def _strict(movement: Movement) -> Iterator[Row]:
    if movement.reps and (strict := movement.reps.strict):
        numbers = (strict.swing, strict.hip_range)
        yield (movement.name, *("-" if number is None else f"{number:g}" for number in numbers))


def main() -> None:
    """Rewrite the files."""
    PAGE.write_text(renewed(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    SCHEMA.write_text(schema(), encoding="utf-8")


if __name__ == "__main__":
    main()

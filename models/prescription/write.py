"""Writing a prescription as the TOML that a coach would write: what is usual is left out."""

import json
from collections.abc import Iterator, Mapping
from typing import Any, Final

from models.prescription.prescribed import Prescription

ORDER: Final = (
    ("athlete", "note"),
    ("movement", "variant", "sets", "reps", "hold", "hold_at", "tempo", "lowering_only", "strict"),
    ("band", "partner", "load", "body_angle", "hands_raised_cm", "feet_raised_cm", "stability"),
)
"""The keys in the order in which they are written, with an empty line between groups. Limits come last."""


def write_prescription(prescription: Prescription) -> str:
    """TOML text that `parse_prescription` reads back as the same prescription."""
    tree = prescription.model_dump(mode="json", exclude_defaults=True)
    groups = [[f"{key} = {_value(tree[key])}" for key in group if key in tree] for group in ORDER]
    limits = [f"{name} = {_value(limit)}" for name, limit in _limits(tree.get("limits", {}))]
    if limits:
        groups.append(["[limits]", *limits])
    return "\n\n".join("\n".join(group) for group in groups if group) + "\n"


def _limits(tree: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Mapping[str, float]]]:
    """Each limit with its dotted name; a limit is the innermost table, of numbers only."""
    for name, branch in tree.items():
        if all(isinstance(value, float) for value in branch.values()):
            yield f"{above}{name}", branch
        else:
            yield from _limits(branch, f"{above}{name}.")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, Mapping):
        entries = ", ".join(f"{key} = {_value(entry)}" for key, entry in value.items() if entry is not None)
        return f"{{ {entries} }}" if entries else "{}"
    return str(value)

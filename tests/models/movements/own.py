"""The movement that docs/movements.md adds, as a file."""

import re
from pathlib import Path
from typing import Final

PAGE: Final = Path(__file__).parents[3] / "docs" / "movements.md"
HIP_HINGE: Final = re.findall(
    r"^```toml\n(title = .*?)^```", PAGE.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE
)[0]


def write(folder: Path, text: str = HIP_HINGE) -> Path:
    """Write it into a folder."""
    file = folder / "hip-hinge.toml"
    file.write_text(text, encoding="utf-8")
    return file

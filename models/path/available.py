"""What is there to scale a movement with: bands, boxes, weights."""

from pathlib import Path
from typing import Annotated

from pydantic import Field

from models.errors import PathError
from models.limit import Strict
from models.prescription.scaled import WrittenBand
from models.written import parse_written, read_bytes

Heights = Annotated[tuple[Annotated[float, Field(gt=0, le=300)], ...], Field(strict=False, max_length=50)]
Weights = Annotated[tuple[Annotated[float, Field(gt=0, le=300)], ...], Field(strict=False, max_length=50)]
Bands = Annotated[tuple[WrittenBand, ...], Field(strict=False, max_length=20)]


class Available(Strict):
    """Bands (as a prescription writes them), heights of boxes, and weights that can be hung on. Without boxes, heights
    are offered in even steps.
    """

    bands: Bands = ()
    boxes_cm: Heights = ()
    loads_kg: Weights = ()


def read_available(path: Path) -> Available:
    """Read what is available from a TOML file.

    Raises:
        PathError: it cannot be read, is not TOML, or something in it is wrong.
    """
    return parse_written(read_bytes(path, PathError), path.name, Available, PathError, "a list of what is available")

"""The arguments that several commands share."""

from pathlib import Path
from typing import Annotated

import typer

Clip = Annotated[Path, typer.Argument(metavar="CLIP", help="A video file from a phone.", show_default=False)]
PrescriptionFile = Annotated[
    Path, typer.Argument(metavar="PRESCRIPTION.toml", help="What was prescribed.", show_default=False)
]
Variant = Annotated[
    str | None,
    typer.Option(metavar="NAME", help="Which variant of it; see: plumbrep movements M.", show_default=False),
]
Hold = Annotated[bool, typer.Option("--hold", help="Look for holds, not reps.")]
HeightCm = Annotated[
    float | None,
    typer.Option(
        min=50,
        max=260,
        metavar="H",
        help="The athlete's height; with it lengths are in millimetres.",
        show_default=False,
    ),
]
Weights = Annotated[
    Path | None,
    typer.Option(
        metavar="PATH", help="A pose landmark task bundle to use in place of the usual one.", show_default=False
    ),
]
Json = Annotated[
    Path | None,
    typer.Option(
        "--json", metavar="FILE", help="Also write the document as JSON; - prints only that.", show_default=False
    ),
]

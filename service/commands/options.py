"""The arguments that several commands share."""

from pathlib import Path
from typing import Annotated, Literal

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
Sensor = Annotated[
    Path | None,
    typer.Option(
        "--sensor", metavar="TRACK", help="Roll and pitch of the phone, recorded with the clip.", show_default=False
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
AthleteHeightCm = Annotated[
    float | None,
    typer.Option("--height-cm", min=80, max=260, metavar="H", help="The athlete's height.", show_default=False),
]
MassKg = Annotated[
    float | None,
    typer.Option(
        min=20, max=400, metavar="KG", help="The athlete's mass; bands and loads need it.", show_default=False
    ),
]
Sex = Annotated[
    Literal["man", "woman"] | None, typer.Option(help="Whose body tables to use; both if not told.", show_default=False)
]
Age = Annotated[
    float | None, typer.Option(min=0, max=120, metavar="YEARS", help="The athlete's age.", show_default=False)
]
PlotFile = Annotated[Path | None, typer.Option("--plot", metavar="OUT.png", help="Also draw it.", show_default=False)]

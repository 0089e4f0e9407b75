"""`plumbrep demo`: one sample clip, from the picture to the verdict."""

from pathlib import Path
from typing import Annotated

import typer

from models.errors import BadInput
from models.prescription import read_prescription
from service.delivery import deliver
from service.measuring import draw_clip, draw_plot, measure_prescribed
from service.output import OutputError, require_writable

CLIPS = Path(__file__).parents[2] / "sample_clips"
FAVOURITE = "push-up-set"


def demo(
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder for the files it writes.")] = Path("plumbrep-demo"),
) -> None:
    """Check a sample clip; write JSON, a plot and the drawn clip.

    It is checked against the prescription beside it. Runs in a copy of the source tree only.
    """
    clip, prescription = sample()
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise OutputError(f"{out}: the folder cannot be made ({fault.strerror}); choose another with --out") from fault
    results = [out / f"{clip.stem}{suffix}" for suffix in (".json", ".png", "-drawn.mp4")]
    for result in results:
        require_writable(result)
    prescribed = read_prescription(prescription)
    measurement = measure_prescribed(clip, prescribed, height_cm=None, weights=None)
    json, picture, drawn = results
    deliver(measurement.document, json)
    draw_plot(measurement, prescribed, picture)
    draw_clip(clip, measurement, drawn)
    typer.echo(f"\nclip {clip}\nprescription {prescription}")
    for result in results:
        typer.echo(f"wrote {result}")


def sample(folder: Path = CLIPS) -> tuple[Path, Path]:
    """Find a sample clip with a prescription beside it, the favourite first.

    Raises:
        BadInput: there is none; sample clips are part of the source tree, not of an installed package.
    """
    pairs = sorted(
        (clip, clip.with_suffix(".toml")) for clip in folder.glob("*.mp4") if clip.with_suffix(".toml").exists()
    )
    if not pairs:
        raise BadInput(
            "the sample clips are not here: they come with the source tree, not with the installed package; "
            "run the demo from a copy of the source tree"
        )
    return min(pairs, key=lambda pair: pair[0].stem != FAVOURITE)

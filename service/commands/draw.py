"""`plumbrep draw`: the clip again, with what was measured drawn into it."""

from pathlib import Path
from typing import Annotated

import typer

from models.errors import BadInput
from models.movements import load_movement
from models.prescription import read_prescription
from service.commands.options import Clip, HeightCm, Hold, Sensor, Variant, Weights
from service.measuring import draw_clip, measure_clip, measure_prescribed
from service.output import require_writable


def draw(
    clip: Clip,
    *,
    out: Annotated[Path, typer.Option("--out", "-o", metavar="OUT.mp4", help="The clip to write.", show_default=False)],
    movement: Annotated[str | None, typer.Option(metavar="M", help="What is done.", show_default=False)] = None,
    prescription: Annotated[
        Path | None, typer.Option(metavar="FILE", help="What was prescribed; adds verdicts.", show_default=False)
    ] = None,
    variant: Variant = None,
    hold: Hold = False,
    height_cm: HeightCm = None,
    sensor: Sensor = None,
    weights: Weights = None,
) -> None:
    """Write a copy of a clip with the measurement drawn in."""
    if (movement is None) == (prescription is None):
        raise BadInput("say what is done: either --movement M or --prescription FILE")
    if prescription is not None and variant is not None:
        raise BadInput("--variant goes with --movement; a prescription names its own variant")
    require_writable(out, clip)
    if prescription is not None:
        prescribed = read_prescription(prescription)
        measurement = measure_prescribed(clip, prescribed, height_cm=height_cm, sensor=sensor, weights=weights)
    else:
        chosen = load_movement(movement or "").as_variant(variant)
        measurement = measure_clip(clip, chosen, hold=hold or None, height_cm=height_cm, sensor=sensor, weights=weights)
    draw_clip(clip, measurement, out)
    typer.echo(f"wrote {out}")

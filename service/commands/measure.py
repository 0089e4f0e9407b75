"""`plumbrep measure`: what the clip shows, in numbers."""

from typing import Annotated

import typer

from models.errors import BadInput
from models.movements import load_movement
from service.commands.options import Clip, HeightCm, Hold, Json, Sensor, Variant, Weights
from service.delivery import deliver, require_deliverable
from service.measuring import measure_clip


def measure(
    clip: Clip,
    *,
    movement: Annotated[
        str | None,
        typer.Option(
            metavar="M", help="What is done; see: plumbrep movements. Else it is suggested.", show_default=False
        ),
    ] = None,
    variant: Variant = None,
    hold: Hold = False,
    height_cm: HeightCm = None,
    sensor: Sensor = None,
    weights: Weights = None,
    json: Json = None,
) -> None:
    """Measure each rep or hold of a clip."""
    if movement is None and variant is not None:
        raise BadInput("--variant goes with --movement; say which movement it is a variant of")
    chosen = None if movement is None else load_movement(movement).as_variant(variant)
    require_deliverable(json, clip)
    measurement = measure_clip(clip, chosen, hold=hold or None, height_cm=height_cm, sensor=sensor, weights=weights)
    deliver(measurement.document, json)

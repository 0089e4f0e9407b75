"""Run the measurement with a progress bar, and judge it."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from models.movements import Movement
from models.pose import require_system_libraries
from models.prescription import Prescription
from models.sensor import read_sensor_track
from models.verdict import judge
from service.output import writing
from service.progress import progress_bar

if TYPE_CHECKING:
    from vision.measure import Measurement


def measure_clip(
    clip: Path,
    movement: Movement | None,
    *,
    hold: bool | None,
    height_cm: float | None,
    sensor: Path | None = None,
    weights: Path | None,
) -> "Measurement":
    """Measure one clip; where `hold` is None, for what the movement is usually done as; None: for what it looks like.

    Raises:
        BadInput: the clip, the athlete in it, the sensor track or the weights cannot be used, or a system library is
            missing.
    """
    track = read_sensor_track(sensor) if sensor else None
    require_system_libraries()
    from vision.measure import measure  # late, because the landmark library takes seconds to load

    with progress_bar() as report:
        return measure(
            clip,
            movement,
            hold=hold,
            height_cm=height_cm,
            sensor=track,
            weights=weights,
            progress=report,
        )


def measure_prescribed(
    clip: Path, prescription: Prescription, *, height_cm: float | None, sensor: Path | None = None, weights: Path | None
) -> "Measurement":
    """Measure one clip as its prescription asks, and add checks and verdicts to the document.

    Raises:
        BadInput: as `measure_clip`.
    """
    hold = prescription.hold is not None
    measurement = measure_clip(
        clip, prescription.as_movement(), hold=hold, height_cm=height_cm, sensor=sensor, weights=weights
    )
    from vision.in_position import time_in_position  # after measure_clip has looked for what it loads

    document = judge(measurement.document, prescription, time_in_position(measurement.motion))
    return replace(measurement, document=document)


def draw_clip(clip: Path, measurement: "Measurement", out: Path) -> None:
    """Write a copy of the clip with the measurement drawn into it.

    Raises:
        BadInput: the clip cannot be read again, or `out` cannot be written.
    """
    from vision.evidence import annotate

    with writing(out), progress_bar() as report:
        annotate(clip, measurement, out, progress=report)


def draw_plot(measurement: "Measurement", prescription: Prescription, out: Path) -> None:
    """Draw the angles against time, with the limits of the prescription.

    Raises:
        OutputError: `out` cannot be written.
    """
    from vision.plot import plot

    limits = prescription.rep_limits() if prescription.hold is None else prescription.hold_limits()
    with writing(out):
        plot(measurement, out, limits)

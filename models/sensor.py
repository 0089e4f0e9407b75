"""The sensor track, version 1: how a phone was turned while it filmed, as its own motion sensor saw it.

A small JSON file recorded with the clip. The JSON Schema is generated from these types: `json_schema()`.
"""

import math
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import ConfigDict, Field, ValidationError, model_validator

from models.errors import SensorError
from models.quantity import Frozen

VERSION: Final = "plumbrep.sensor/1"
LARGEST: Final = 64 * 2**20
"""Bytes; half an hour at 200 samples/s is smaller."""


class Part(Frozen):
    """Part of a sensor track: numbers are numbers, not text; fields of a later version are ignored."""

    model_config = ConfigDict(strict=True)


class Clock(Part):
    """Where the clip's clock (0 = first shown frame, seconds of real time) stands on the samples' clock.

    A sample's moment on the clip's clock is `time - offset`.
    """

    offset: float
    """Seconds: the samples' clock at the clip's first shown frame."""
    u: Annotated[float, Field(ge=0, le=10)]
    """Standard uncertainty of the offset, seconds."""


class Sample(Part):
    """How the lens was turned against gravity at one moment, as the clip's upright picture shows it.

    Degrees, of the picture as a viewer sees it (rotation tags applied), whichever way the phone was held. Together
    they are gravity in the camera's frame (x right, y down, z away from the lens):
    (sin roll cos pitch, cos roll cos pitch, -sin pitch).
    """

    time: float
    """Seconds, increasing."""
    roll: Annotated[float, Field(ge=-180, le=180)]
    """Positive when the phone is turned clockwise as its user sees it, so that the floor rises to the picture's right."""
    pitch: Annotated[float, Field(ge=-90, le=90)]
    """Positive when the lens looks up."""


class SensorTrack(Part):
    """Roll and pitch of the phone over time."""

    document: Literal["plumbrep.sensor/1"]
    clock: Clock | None = None
    """Unknown (None): the samples' clock is about the clip's own, no more is known of the lag between them."""
    u: Annotated[float, Field(gt=0, le=45)] | None = None
    """Standard uncertainty of roll and of pitch, degrees, the same over the clip; unknown (None): as phones usually are."""
    samples: Annotated[tuple[Sample, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        times = [sample.time for sample in self.samples]
        late = next((n for n in range(1, len(times)) if times[n] <= times[n - 1]), None)
        if late is not None:
            raise ValueError(f"sample {late + 1} is not later than the one before it")
        return self


def read_sensor_track(path: Path) -> SensorTrack:
    """Read a sensor track.

    Raises:
        SensorError: the file cannot be read or is no sensor track.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise SensorError(f"{path} is no sensor track: it is larger than {LARGEST // 2**20} MiB")
        data = path.read_bytes()
    except OSError as fault:
        raise SensorError(f"cannot read the sensor track {path}: {fault.strerror}") from fault
    return parse_sensor_track(data, str(path))


def parse_sensor_track(data: bytes, name: str) -> SensorTrack:
    """As `read_sensor_track`, from a file's bytes; `name` is what messages call it.

    Raises:
        SensorError: this is no sensor track.
    """
    try:
        return SensorTrack.model_validate_json(data)
    except ValidationError as faults:
        raise SensorError(f"{name} is no sensor track: {_first(faults)} (see docs/sensor.md)") from faults


def _first(faults: ValidationError) -> str:
    fault = faults.errors(include_url=False)[0]
    where = ".".join(str(part + 1) if isinstance(part, int) else part for part in fault["loc"])
    what = fault["msg"].removeprefix("Value error, ")
    return f"{where}: {what}" if where else what


def gravity(roll: float, pitch: float) -> tuple[float, float, float]:
    """The unit vector of gravity in the camera's frame, from roll and pitch in degrees (see `Sample`)."""
    r, p = math.radians(roll), math.radians(pitch)
    return math.sin(r) * math.cos(p), math.cos(r) * math.cos(p), -math.sin(p)


def json_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a sensor track."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **SensorTrack.model_json_schema()}

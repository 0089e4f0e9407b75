"""The words of a catalogue file that its parts share: the base of each part, angles, body lines, bands."""

from typing import Literal, Self

from pydantic import ConfigDict, model_validator

from models.quantity import Frozen

Angle = Literal["body", "lean", "trunk", "legs", "shoulder", "elbow", "hip", "knee", "reach"]
"""Angles of a body, in degrees. `reach` stands among them because it can drive a rep as they do: the height of the
shoulders over the hands in % of the arm's length, -100 in a dead hang, 0 with the shoulders level with the hands, 100
in a support on straight arms."""

Line = Literal["ankles-shoulders", "knees-shoulders", "hips-shoulders"]

Plane = Literal["sagittal", "frontal"]
"""The plane of the body in which its angles lie: the one that a view from the side shows, or from the front or back."""


class Entry(Frozen):
    """Part of a catalogue file. An unknown key there is a slip of the pen, so it is refused."""

    model_config = ConfigDict(extra="forbid")


class Band(Entry):
    """An interval of degrees, both ends included."""

    low: float
    high: float

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low >= self.high:
            raise ValueError(f"low {self.low:g} is not below high {self.high:g}")
        return self

"""What a variant changes of its movement."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from models.limits import Limits
from models.movements.demand import DemandChange
from models.movements.entry import Angle, Band, Entry, Line
from models.scaling import Place, ScalingName


class Variant(Entry):
    """One way of doing a movement. What is not written here is as in the movement.

    `scaling` says which of the six scalings it is, and `support`, for stability, what it is done on. `line`, `posture`
    (bands that recognise its hold) and `range` (the driving angle at both ends) change the measuring; `asked` changes
    single limits of what is usually asked, `demand` what it asks of the body.
    """

    title: Annotated[str, Field(min_length=1)]
    scaling: ScalingName | None = None
    support: Place | None = None
    line: Line | None = None
    posture: dict[Angle, Band] = Field(default_factory=dict)
    range: Band | None = None
    asked: Limits = Limits()
    demand: DemandChange | None = None

    @model_validator(mode="after")
    def _support(self) -> Self:
        if (self.scaling == "stability") != (self.support is not None):
            raise ValueError('support goes with scaling = "stability", and only with it')
        return self


def with_changes(usual: Limits, changes: Limits) -> Limits:
    """The usual limits with those that are written in `changes` in their place, each as a whole."""
    names = tuple(Limits.model_fields)
    return Limits.of(usual.by_name(names) | changes.by_name(names))

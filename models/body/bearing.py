"""Lowering, holding and raising differ in what a body can bear: factors that a coach may change."""

from typing import Annotated, Final, Literal

from pydantic import Field

from models.limit import Strict

Mode = Literal["raise", "hold", "lower"]
Factor = Annotated[float, Field(ge=0.5, le=2)]


class Bearing(Strict):
    """How much a body can bear, against what it can raise (common practice, no source)."""

    raised: Factor = 1.0
    held: Factor = 1.1
    lowered: Factor = 1.3

    def factor(self, mode: Mode) -> float:
        """The factor of one way of moving."""
        return {"raise": self.raised, "hold": self.held, "lower": self.lowered}[mode]


USUAL: Final = Bearing()

"""The athlete as far as the demand needs to know: sex, height, mass, age. All of it may be unknown."""

from typing import Annotated, Final, Literal

from pydantic import Field

from models.quantity import Frozen

ADULT: Final = 18
"""Years. The tables are of young adults; a growing body has other shares."""
USUAL_HEIGHT: Final = (1.70, 0.20)
"""Metres and U95 of a height that nobody told: adults of both sexes (common practice, no source)."""
HEIGHT_U95: Final = 0.02
"""Metres. A height that was told, unless told better."""
MASS_U95: Final = 1.0
"""Kilograms. A mass that was told: clothes and the time of day."""


class Athlete(Frozen):
    """Who moves. Without height or mass, moments are fractions only; without sex, both tables are used."""

    sex: Literal["man", "woman"] | None = None
    height_cm: Annotated[float, Field(ge=80, le=260)] | None = None
    mass_kg: Annotated[float, Field(ge=20, le=400)] | None = None
    age: Annotated[float, Field(ge=0, le=120)] | None = None

    @property
    def refused(self) -> str | None:
        """Why no demand can be told of this athlete, if so."""
        if self.age is not None and self.age < ADULT:
            return f"the tables are of adults and do not apply under {ADULT}; a qualified coach has to judge"
        return None

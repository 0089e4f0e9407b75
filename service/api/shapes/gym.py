"""Shape of the gym itself."""

from datetime import datetime
from typing import Annotated
from zoneinfo import available_timezones

from pydantic import AfterValidator, Field

from service.api.shapes.common import Asked, Given, Id, Line


def _known(zone: str) -> str:
    if zone not in available_timezones():
        raise ValueError("is no time zone; write it as Europe/Lisbon")
    return zone


GymName = Annotated[Line, Field(max_length=120, examples=["Northside"])]
Days = Annotated[
    int, Field(ge=1, le=3650, description="How long clips are kept; null: as the service is set.", examples=[30])
]
Zone = Annotated[str, Field(max_length=40, examples=["Europe/Lisbon"]), AfterValidator(_known)]


class GymChange(Asked):
    """What is to be changed; what is left out stays."""

    name: GymName | None = None
    keep_clips_days: Days | None = None
    time_zone: Annotated[Zone | None, Field(description="Tells what week something was done in, from now on.")] = None


class GymGiven(Given):
    """The gym."""

    id: Id
    name: Annotated[str, Field(examples=["Northside"])]
    keep_clips_days: Annotated[int | None, Field(description="Null: as the service is set.", examples=[30])]
    time_zone: Annotated[str, Field(examples=["Europe/Lisbon"])]
    created: datetime

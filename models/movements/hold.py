"""How a hold is recognised, and where the athlete is in a movement."""

from typing import Annotated, Literal

from pydantic import Field

from models.movements.entry import Angle, Band, Entry


class StillHold(Entry):
    """How a hold is recognised: which angles must stay still, and the band each must lie in to be this hold at all.

    The bands are wide on purpose. They tell the hold from standing, hanging or setting up, not a good one from a bad
    one: that is for the limits of a prescription.
    """

    still: Annotated[tuple[Angle, ...], Field(min_length=1)]
    posture: dict[Angle, Band]


class InPosition(Entry):
    """Where the athlete is while the movement is done; what lies outside is setting up or stepping off.

    `contact` names the limbs that bear the load and stay where they are (`foot`: one of them, the other leg is free);
    `hands` where the hands are, seen against the shoulders (`split`: one above and one below); `trunk` the trunk's
    angle to the floor (positive: shoulders higher than hips).
    """

    contact: Literal["hands", "feet", "both", "foot"]
    hands: Literal["above", "below", "any", "split"]
    trunk: Band

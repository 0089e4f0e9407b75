"""From where a movement is filmed, and what can be seen from there."""

from typing import Annotated, Literal

from pydantic import Field

from models.movements.entry import Entry

View = Literal["side", "front", "back", "feet"]
"""`side`: square to the plane in which the body bends; `front` and `back`: toward belly or back of an athlete, upright,
inverted or sideways; `feet`: along a level body, from the feet's end."""

Saying = Annotated[str, Field(min_length=3)]


class ViewEntry(Entry):
    """What can be seen from one view, by the program or by a person, and what cannot, whoever looks."""

    shows: Annotated[tuple[Saying, ...], Field(min_length=1)]
    cannot_show: tuple[Saying, ...]

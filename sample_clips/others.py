"""Other people in the picture: a partner who helps with the hands, and somebody who stands beside and watches."""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Body
from sample_clips.bystander import person_beside, stand_beside
from sample_clips.figure import Figure
from sample_clips.partner import Partner, partner_of
from sample_clips.phenotype import build_body
from sample_clips.recipe import Clothes, Person, Recipe
from sample_clips.skeleton import Pose

Array = NDArray[np.float64]


class Other(Protocol):
    """Somebody besides the athlete, who can be posed at any time and placed in the world."""

    @property
    def body(self) -> Body:
        """Who it is."""

    @property
    def clothes(self) -> Clothes:
        """In what clothes."""

    def pose(self, time: Array) -> Pose:
        """Turn and place of every bone at each time, canonical axes."""

    def place(self, vertices: Array) -> Array:
        """Skin (V, 3) in world axes."""


def others(figure: Figure, middle: Array) -> list[Other]:
    """Everybody besides the athlete; `middle` is what the phone looks at."""
    recipe = figure.recipe
    found: list[Other] = []
    if recipe.exercise.partner != "none":
        found.append(Partner(figure, build_body(partner_of(recipe))))
    if recipe.room.second_person:
        found.append(stand_beside(recipe, middle))
    return found


def people_beside(recipe: Recipe) -> list[Person]:
    """Who is there besides the athlete."""
    partner = [partner_of(recipe)] if recipe.exercise.partner != "none" else []
    return partner + ([person_beside(recipe)] if recipe.room.second_person else [])

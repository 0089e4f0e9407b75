"""Somebody who stands beside the athlete and watches."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from sample_clips.body import Body
from sample_clips.moves import MOVES, Act, Unsteady
from sample_clips.phenotype import build_body
from sample_clips.recipe import Clothes, Exercise, Person, Recipe
from sample_clips.skeleton import Pose, solve

Array = NDArray[np.float64]


def person_beside(recipe: Recipe) -> Person:
    """Who stands there, from the recipe's seed."""
    random = np.random.default_rng([recipe.seed, 31])
    return Person(
        height_cm=round(float(random.uniform(158, 188)), 1),
        gender=float(random.choice([0.0, 1.0])),
        skin=recipe.person.skin if random.random() < 0.5 else (0.60, 0.43, 0.32),
        hair=random.choice(["short", "long"]),
    )


@dataclass(frozen=True)
class Bystander:
    """Someone standing still but for a slow sway; `turn` (3, 3) and `at` (3,) take canonical axes to the world."""

    body: Body
    clothes: Clothes
    turn: Array
    at: Array

    def pose(self, time: Array) -> Pose:
        """Turn and place of every bone at each time, canonical axes."""
        zero = 0 * time
        shift = np.stack([0.006 * np.sin(0.9 * time), 0.004 * np.cos(0.7 * time), zero], axis=1)
        unsteady = Unsteady(shift, np.sin(0.5 * time), 0.5 * np.sin(0.6 * time))
        exercise = Exercise(movement="squat", straight=6, bent=90)
        return solve(self.body, MOVES["squat"](Act(self.body, exercise, zero + 0.02, unsteady)).posture)

    def place(self, vertices: Array) -> Array:
        """Skin (V, 3) in world axes."""
        return vertices @ self.turn.T + self.at


def stand_beside(recipe: Recipe, middle: Array) -> Bystander:
    """A bystander beyond the athlete and to one side, turned some way toward them."""
    random = np.random.default_rng([recipe.seed, 37])
    side = float(random.choice([-1, 1]))
    at = np.array([middle[0] + side * random.uniform(0.7, 1.3), random.uniform(0.6, 0.95), 0.0])
    facing = (180.0 if side > 0 else 0.0) + random.uniform(-50, 50)
    turn = Rotation.from_euler("z", facing, degrees=True).as_matrix()
    clothes = Clothes(top="tee", top_colour=(0.35, 0.35, 0.42), bottom="trousers", pattern="plain")
    return Bystander(build_body(person_beside(recipe)), clothes, turn, at)

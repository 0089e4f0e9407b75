"""Many varied clips from one seed: for accuracy and coverage, on figures that no setting was tuned to.

Every movement of the catalogue comes round in turn, and with each round another of its variants. Clips are short (6 to
13 s) and mostly small (640x360 to 1280x720). Lens, light, body, clothes, tempo, faults and company vary as real clips do.
"""

import numpy as np

from sample_clips.corpus.draw import Draw
from sample_clips.corpus.exercises import EXERCISES
from sample_clips.corpus.faults import with_faults
from sample_clips.corpus.filming import light, phone, room
from sample_clips.corpus.people import clothes, person, sway
from sample_clips.recipe import Recipe

COUNT = 150
SEED = 20261125
FIRST_SEED = 5000

__all__ = ["COUNT", "SEED", "corpus"]


def corpus(count: int = COUNT, seed: int = SEED) -> tuple[Recipe, ...]:
    """Recipes in a fixed order; a seed's first recipes are the same whatever the count."""
    return tuple(_recipe(number, seed) for number in range(count))


def _recipe(number: int, seed: int) -> Recipe:
    movements = tuple(EXERCISES)
    movement, rounds = movements[number % len(movements)], number // len(movements) + seed
    draw = Draw(np.random.default_rng([seed, number]))
    exercise = with_faults(EXERCISES[movement](draw, rounds), draw)
    return Recipe(
        name=f"{number:03d}-{movement}",
        seed=FIRST_SEED + 1000 * (seed % 1000) + number,
        exercise=exercise,
        person=person(draw, exercise),
        clothes=clothes(draw),
        room=room(draw, exercise),
        light=light(draw),
        phone=phone(draw, exercise),
        sway=sway(draw, exercise),
        facing=draw.pick("left", "right"),
    )

"""Who trains, in what clothes, how steadily."""

from sample_clips.corpus.draw import Draw
from sample_clips.recipe import Clothes, Colour, Exercise, Person, Sway

SKINS: tuple[Colour, ...] = (
    (0.86, 0.70, 0.61), (0.78, 0.59, 0.48), (0.70, 0.51, 0.39), (0.56, 0.39, 0.28), (0.42, 0.28, 0.20), (0.30, 0.20, 0.15),
)  # fmt: skip
HAIRS: tuple[Colour, ...] = (
    (0.06, 0.05, 0.05), (0.16, 0.11, 0.08), (0.34, 0.22, 0.13), (0.60, 0.46, 0.28), (0.56, 0.54, 0.52),
)  # fmt: skip
STRONG = frozenset({"front-lever", "back-lever", "planche", "human-flag", "muscle-up"})

STEADIEST = {"l-sit": 5.0, "planche": 6.0, "front-lever": 10.0, "back-lever": 9.0}
"""The most millimetres that a body shifts where the whole of it turns to keep its balance: more would end the hold."""


def person(draw: Draw, exercise: Exercise) -> Person:
    """A body; the hardest movements are done by lean and strong ones."""
    gender = draw.pick(0.0, 0.1, 0.5, 0.9, 1.0)
    strong = exercise.movement in STRONG
    return Person(
        height_cm=draw.about(177 - 12 * gender, 7, 152, 198),
        gender=gender,
        age=draw.between(0.66, 0.9),
        muscle=draw.between(0.55, 0.9) if strong else draw.between(0.4, 0.9),
        weight=draw.between(0.3, 0.5) if strong else draw.between(0.3, 0.7),
        proportions=draw.between(0.3, 0.8),
        skin=draw.pick(*SKINS),
        hair=draw.pick("short", "short", "long", "bald") if gender < 0.5 else draw.pick("long", "long", "short"),
        hair_colour=draw.pick(*HAIRS),
    )


def clothes(draw: Draw) -> Clothes:
    """What they wear."""
    return Clothes(
        top=draw.pick("bare", "tank", "tee", "tee", "long"),
        top_colour=draw.colour(0.12, 0.85),
        bottom=draw.pick("shorts", "shorts", "tights", "trousers"),
        bottom_colour=draw.colour(0.08, 0.6),
        pattern=draw.pick("plain", "plain", "melange", "stripes", "print"),
        shoes=draw.chance(0.75),
        shoe_colour=draw.colour(0.2, 0.9),
    )


def sway(draw: Draw, exercise: Exercise) -> Sway:
    """How unsteady; now and then the hips wobble in a rep."""
    held = exercise.hold is not None
    most = STEADIEST.get(exercise.movement, 14.0)
    return Sway(
        shift_mm=draw.between(2.5, most) if held else draw.between(1.5, 5),
        angle=draw.between(0.2, 0.8),
        wobble=draw.between(1.0, 2.5) if not held and draw.chance(0.15) else 0.0,
    )

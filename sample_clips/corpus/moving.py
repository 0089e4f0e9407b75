"""Reps and holds as most movements have them."""

from sample_clips.corpus.draw import Draw
from sample_clips.corpus.faults import reps
from sample_clips.recipe import Exercise

Place = dict[str, float]


def moving(
    draw: Draw, movement: str, straight: float, bent: float, place: Place, variant: str = "", slow: float = 2.2
) -> Exercise:
    """Two or three reps between two values of the driving angle."""
    count = 2 if draw.chance(0.75) else 3
    return Exercise(
        movement=movement,
        variant=variant,
        straight=straight + draw.between(-3, 8),
        bent=bent + draw.between(-4, 10),
        flare=draw.between(0, 30) if draw.chance(0.65) else draw.between(30, 60),
        sag=draw.between(-4, 10) if draw.chance(0.8) else draw.between(10, 18),
        place=place,
        reps=reps(draw, count, slow if count == 2 else 0.55 * slow),
        lead_in=draw.between(1.0, 1.8),
        lead_out=draw.between(0.8, 1.4),
    )


def lowered_only(draw: Draw, exercise: Exercise, step: float = 0.0) -> Exercise:
    """Slow lowerings alone; back up by the legs, on a box where there is one."""
    slow = tuple(
        rep.model_copy(update={
            "lowering": draw.between(2.6, 3.6), "bottom": draw.between(0.9, 1.3), "raising": draw.between(1.9, 2.3),
            "top": draw.between(0.9, 1.2), "depth": 1.0,
        })
        for rep in exercise.reps[:2]
    )  # fmt: skip
    place = exercise.place | ({"step": step} if step else {})
    return exercise.model_copy(update={"lowering_only": True, "reps": slow, "place": place})


def still(draw: Draw, movement: str, place: Place, variant: str = "", **more: str) -> Exercise:
    """One hold, drifting a little."""
    return Exercise.model_validate({
        "movement": movement,
        "variant": variant,
        "straight": draw.between(2, 8),
        "place": place,
        "hold": draw.between(5.0, 9.0),
        "drift": draw.between(-1.5, 1.5) if movement == "l-sit" else draw.between(-3, 3),
        "lead_in": draw.between(0.9, 1.6),
        "lead_out": draw.between(0.7, 1.3),
        **more,
    })  # fmt: skip


def from_above(draw: Draw, movement: str, place: Place, variant: str, top: float) -> Exercise:
    """A level hold lowered from above: reps that turn the body from `top` (degrees) to level."""
    exercise = moving(draw, movement, top, 0, place, variant, slow=2.4)
    return exercise.model_copy(update={"sag": 0.0, "flare": 10.0, "bent": draw.between(-4, 6)})

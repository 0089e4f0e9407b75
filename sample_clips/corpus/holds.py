"""Levers, flags, handstands and what else is held: each in all its lengths."""

from sample_clips.corpus.draw import Draw
from sample_clips.corpus.moving import Place, from_above, lowered_only, still
from sample_clips.recipe import Exercise

LENGTHS = ("tuck", "full", "one-leg", "advanced-tuck", "straddle")
HELPED: tuple[dict[str, str], ...] = ({}, {}, {"band": "waist"}, {}, {"partner": "waist"}, {}, {})


def front_lever(draw: Draw, turn: int) -> Exercise:
    """Under a bar or in rings, helped or not; every third is lowered from above."""
    return _lever(draw, turn, "front-lever")


def back_lever(draw: Draw, turn: int) -> Exercise:
    """The same, belly down."""
    return _lever(draw, turn + 3, "back-lever")


def _lever(draw: Draw, turn: int, movement: str) -> Exercise:
    kind = LENGTHS[turn % len(LENGTHS)]
    rings = draw.chance(0.5)
    place = _legs(draw, kind) | {"rings": float(rings), "bar_height": draw.between(1.9, 2.2)}
    if turn % 3 == 1:
        exercise = from_above(draw, movement, place, kind, draw.between(-70, -58) if rings else draw.between(-58, -48))
        return lowered_only(draw, exercise) if draw.chance(0.5) else exercise
    helped = HELPED[turn % len(HELPED)]
    return still(draw, movement, place | {"level": draw.between(-6, 8)}, kind, **helped)


def planche(draw: Draw, turn: int) -> Exercise:
    """On parallettes, the floor or rings."""
    kind = LENGTHS[turn % len(LENGTHS)]
    place = _legs(draw, kind) | {"level": draw.between(-8, 6), "bar_height": draw.pick(0.3, 0.35, 0.4)}
    if turn % 4 == 3:
        place |= {"rings": 1.0, "bar_height": draw.between(0.5, 0.7)}
    elif kind in ("full", "straddle") and draw.chance(0.5):
        place |= {"bar_height": draw.pick(0.0, 0.2), "level": draw.between(-9, -3), "sink": 0.02}
    helped = {"partner": "ankles"} if turn % 6 == 4 and kind in ("full", "straddle") else {}
    return still(draw, "planche", place, kind, **helped)


def human_flag(draw: Draw, turn: int) -> Exercise:
    """Held, or lowered from above."""
    kind = ("full", "straddle", "tuck", "straddle", "full", "one-leg")[turn % 6]
    legs: dict[str, Place] = {
        "full": {"hip": draw.between(-2, 6)},
        "straddle": {"apart": draw.between(20, 34)},
        "tuck": {"hip": draw.between(85, 105), "knee": draw.between(100, 120)},
        "one-leg": {"hip": draw.between(80, 100), "knee": draw.between(100, 120), "one_leg": 1.0},
    }
    place = legs[kind] | {"spacing": draw.between(0.94, 1.04), "pole_height": draw.between(1.2, 1.6)}
    place["elbow"] = draw.between(3, 14)
    if turn % 2:
        exercise = from_above(draw, "human-flag", place, kind, draw.between(-58, -46))
        return lowered_only(draw, exercise) if draw.chance(0.5) else exercise
    helped = {"band": "waist"} if turn % 8 == 4 else {"partner": "waist"} if turn % 8 == 2 else {}
    held = still(draw, "human-flag", place | {"level": draw.between(-6, 8)}, kind, **helped)
    return held.model_copy(update={"sag": draw.between(-5, 8)})


def handstand(draw: Draw, turn: int) -> Exercise:
    """Free or against a wall, straddled, tucked, with a partner at the shins."""
    kind = ("", "straddle", "wall", "tuck", "partner")[turn % 5]
    place = {"lean": draw.between(-3, 5), "arch": draw.between(-2, 14), "straddle": draw.between(0.07, 0.1)}
    if kind == "straddle":
        place["straddle"] = draw.between(0.3, 0.5)
    if kind == "wall":
        place |= {"wall": draw.between(0.26, 0.34), "arch": draw.between(0, 8), "lean": draw.between(4, 6)}
    if kind == "tuck":
        place |= {"tuck": 1.0, "arch": draw.between(-10, 10)}
    helped = {"partner": "ankles"} if kind == "partner" else {}
    return still(draw, "handstand", place, kind if kind in ("straddle", "wall", "tuck") else "", **helped)


def l_sit(draw: Draw, turn: int) -> Exercise:
    """On parallettes or rings, with both legs, one, or none straight."""
    kind = ("", "tuck", "rings", "one-leg", "partner")[turn % 5]
    place = {"hip": draw.between(88, 106), "knee": draw.between(2, 12), "bar_height": draw.between(0.3, 0.5)}
    if kind == "tuck":
        place |= {"hip": draw.between(108, 124), "knee": draw.between(105, 130), "bar_height": draw.between(0.5, 0.65)}
    if kind == "one-leg":
        bent = {"far_hip": draw.between(105, 120), "far_knee": draw.between(105, 125)}
        place |= bent | {"bar_height": draw.between(0.5, 0.65)}
    if kind == "rings":
        place |= {"rings": 1.0, "bar_height": draw.between(0.7, 1.1)}
    helped = {"partner": "ankles"} if kind == "partner" else {}
    return still(draw, "l-sit", place, kind if kind in ("tuck", "rings", "one-leg") else "", **helped)


def plank(draw: Draw, turn: int) -> Exercise:
    """On the forearms, on straight arms, with the feet raised; sagging or piked."""
    kind = ("", "straight-arms", "", "feet-raised")[turn % 4]
    place: Place = {"straight_arms": float(kind == "straight-arms")}
    if kind == "feet-raised":
        place["foot_height"] = draw.between(0.15, 0.35)
    exercise = still(draw, "plank", place, kind)
    sag = draw.between(-6, 8) if draw.chance(0.7) else draw.pick(-1.0, 1.0) * draw.between(10, 18)
    return exercise.model_copy(update={"sag": sag})


def _legs(draw: Draw, kind: str) -> Place:
    """Bends of hips and knees of a lever's length."""
    tucked = {"hip": draw.between(104, 122), "knee": draw.between(112, 130)}
    straight = {"hip": draw.between(-2, 10), "knee": draw.between(0, 6)}
    if kind == "tuck":
        return tucked
    if kind == "advanced-tuck":
        return {"hip": draw.between(78, 98), "knee": draw.between(80, 110)}
    if kind == "one-leg":
        return straight | {"far_hip": tucked["hip"], "far_knee": tucked["knee"]}
    return straight | ({"straddle": draw.between(0.38, 0.55)} if kind == "straddle" else {})

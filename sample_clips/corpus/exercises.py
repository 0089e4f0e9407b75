"""What is done: each movement with its variants in turn, the way its own measures vary."""

from collections.abc import Callable

from sample_clips.corpus.draw import Draw
from sample_clips.corpus.holds import back_lever, front_lever, handstand, human_flag, l_sit, planche, plank
from sample_clips.corpus.moving import Place, lowered_only, moving
from sample_clips.recipe import Exercise

Maker = Callable[[Draw, int], Exercise]


def push_up(draw: Draw, turn: int) -> Exercise:
    """Flat, raised, on the knees, in rings, helped, lowered only."""
    kinds: tuple[tuple[str, Place, dict[str, str]], ...] = (
        ("", {"hands_behind": draw.between(0.02, 0.08)}, {}),
        ("hands-raised", {"hand_height": draw.between(0.2, 0.55)}, {}),
        ("knees", {"knees": 1.0}, {}),
        ("feet-raised", {"foot_height": draw.between(0.2, 0.4)}, {}),
        ("rings", {"rings": 1.0, "hand_height": draw.between(0.2, 0.4)}, {}),
        ("", {}, {"band": "waist"}),
        ("", {}, {"partner": "waist"}),
        ("", {}, {"lowering": "only"}),
    )
    variant, place, more = kinds[turn % len(kinds)]
    exercise = moving(draw, "push-up", 10, draw.between(86, 130), place, variant)
    if more.pop("lowering", ""):
        return lowered_only(draw, exercise)
    return exercise.model_copy(update=more)


def pike_push_up(draw: Draw, turn: int) -> Exercise:
    """On the floor, feet raised, lowered only."""
    kinds = ("", "feet-raised", "lowering", "band")
    kind = kinds[turn % len(kinds)]
    place = {"hip": draw.between(92, 110), "ahead": draw.between(0.0, 0.08)}
    if kind == "feet-raised":
        place["foot_height"] = draw.between(0.25, 0.5)
    exercise = moving(draw, "pike-push-up", 10, 86, place, "feet-raised" if kind == "feet-raised" else "")
    if kind == "lowering":
        return lowered_only(draw, exercise)
    return exercise.model_copy(update={"band": "waist"} if kind == "band" else {})


def handstand_push_up(draw: Draw, turn: int) -> Exercise:
    """Against a wall, free, or with a partner at the shins."""
    kinds = ("wall", "wall", "free", "partner")
    kind = kinds[turn % len(kinds)]
    wall = draw.between(0.33, 0.42) if kind == "wall" else 0.0
    variant = kind if kind in ("wall", "free") else ""
    exercise = moving(draw, "handstand-push-up", 10, 80, {"wall": wall}, variant)
    return exercise.model_copy(update={"partner": "ankles"} if kind == "partner" else {})


def dip(draw: Draw, turn: int) -> Exercise:
    """On bars or rings, with a band or a partner, lowered only from a box."""
    kinds = ("", "rings", "band", "lowering", "", "partner")
    kind = kinds[turn % len(kinds)]
    place = {"knee": draw.between(10, 95), "lean": draw.between(15, 34)}
    if kind == "partner":
        place["knee"] = draw.between(70, 95)
    if kind == "rings":
        place |= {"rings": 1.0, "bar_height": draw.between(1.45, 1.65)}
    exercise = moving(draw, "dip", 10, draw.between(86, 108), place, "rings" if kind == "rings" else "")
    if kind == "lowering":
        return lowered_only(draw, exercise, step=draw.between(0.55, 0.65))
    helped = {"band": {"band": "knees"}, "partner": {"partner": "ankles"}}
    return exercise.model_copy(update=helped.get(kind, {}))


def row(draw: Draw, turn: int) -> Exercise:
    """Level to steep, under a bar or in straps, with bent knees or raised feet."""
    kinds = ("", "bent-knees", "feet-raised", "", "steep", "band")
    kind = kinds[turn % len(kinds)]
    angle = (
        draw.between(38, 58)
        if kind == "steep"
        else draw.between(5, 15)
        if kind == "feet-raised"
        else draw.between(14, 44)
    )
    place = {"body_angle": angle, "straps": float(draw.chance(0.5)), "bent_knees": float(kind == "bent-knees")}
    if kind == "bent-knees":
        place["body_angle"] = draw.between(8, 22)
    if kind == "feet-raised":
        place["foot_height"] = draw.between(0.2, 0.4)
    exercise = moving(draw, "row", 10, draw.between(96, 124), place, kind if kind not in ("", "band") else "")
    return exercise.model_copy(update={"band": "waist"} if kind == "band" else {})


def pull_up(draw: Draw, turn: int) -> Exercise:
    """Over-grip: strict, kipped, in rings, helped, lowered only."""
    return _pulled(draw, turn, "pull-up")


def chin_up(draw: Draw, turn: int) -> Exercise:
    """Under-grip, the same."""
    return _pulled(draw, turn + 2, "chin-up")


def _pulled(draw: Draw, turn: int, movement: str) -> Exercise:
    kinds = ("", "band", "lowering", "partner", "kip", "rings", "legs-level")
    kind = kinds[turn % len(kinds)]
    place = {"knee": draw.between(5, 70), "hip": draw.between(0, 15), "bar_height": draw.between(2.3, 2.6)}
    if kind in ("band", "partner", "kip"):
        place["knee"] = draw.between(2, 16)
    if kind == "kip":
        place["kip"] = draw.between(18, 42)
    if kind == "rings":
        place["rings"] = 1.0
    if kind == "legs-level":
        place |= {"hip": draw.between(76, 92), "knee": draw.between(2, 10)}
    exercise = moving(
        draw, movement, 12, draw.between(118, 150), place, kind if kind in ("rings", "legs-level") else ""
    )
    if kind == "lowering":
        return lowered_only(draw, exercise, step=0.75 + 0.9 * (place["bar_height"] - 2.35))
    helped = {"band": {"band": "feet"}, "partner": {"partner": "waist"}}
    return exercise.model_copy(update=helped.get(kind, {}))


def muscle_up(draw: Draw, turn: int) -> Exercise:
    """Over a bar or between rings, slowly."""
    rings = turn % 2 == 1
    place = {"rings": 1.0} if rings else {}
    place |= {"bar_height": draw.between(2.2, 2.4), "knee": draw.between(4, 40)}
    exercise = moving(draw, "muscle-up", 12, 120, place, "rings" if rings else "", slow=2.6)
    slower = tuple(
        rep.model_copy(update={"raising": draw.between(2.2, 3.6), "depth": 1.0}) for rep in exercise.reps[:1]
    )
    return exercise.model_copy(update={"reps": slower})


def squat(draw: Draw, turn: int) -> Exercise:
    """To the parallel, deep, or to a high box."""
    kinds = ("", "deep", "", "box")
    kind = kinds[turn % len(kinds)]
    bent = {"deep": draw.between(122, 140), "box": 76.0}.get(kind, draw.between(100, 124))
    return moving(draw, "squat", 8, bent, {"shin": draw.between(28, 38)}, kind)


def single_leg_squat(draw: Draw, turn: int) -> Exercise:
    """To the parallel and below, or to a high box."""
    box = turn % 3 == 2
    place = {"shin": draw.between(33, 40), "free": draw.between(84, 98), "free_knee": draw.between(3, 25)}
    return moving(draw, "single-leg-squat", 8, 76 if box else draw.between(104, 136), place, "box" if box else "")


EXERCISES: dict[str, Maker] = {
    "push-up": push_up,
    "row": row,
    "pull-up": pull_up,
    "front-lever": front_lever,
    "dip": dip,
    "handstand": handstand,
    "handstand-push-up": handstand_push_up,
    "squat": squat,
    "planche": planche,
    "chin-up": chin_up,
    "l-sit": l_sit,
    "pike-push-up": pike_push_up,
    "human-flag": human_flag,
    "muscle-up": muscle_up,
    "back-lever": back_lever,
    "single-leg-squat": single_leg_squat,
    "plank": plank,
}

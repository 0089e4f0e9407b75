"""Many varied clips from one seed: for accuracy and coverage, on figures that no setting was tuned to.

`python -m sample_clips.corpus OUT [--count N] [--seed S] [--first I]`. Clips are small (640x360 to 1280x720, 6-14 s).
A quarter of them have no edges to level by; lens, light, body, clothes, tempo and faults vary as real clips do.
"""

import argparse
from collections.abc import Callable
from pathlib import Path

import numpy as np

from sample_clips.recipe import Clothes, Colour, Exercise, Light, Person, Phone, Recipe, Rep, Room, Sway

Random = np.random.Generator
COUNT = 144
SEED = 20261125
FIRST_SEED = 5000
SKINS: tuple[Colour, ...] = (
    (0.86, 0.70, 0.61), (0.78, 0.59, 0.48), (0.70, 0.51, 0.39), (0.56, 0.39, 0.28), (0.42, 0.28, 0.20), (0.30, 0.20, 0.15),
)  # fmt: skip
HAIRS: tuple[Colour, ...] = (
    (0.06, 0.05, 0.05), (0.16, 0.11, 0.08), (0.34, 0.22, 0.13), (0.60, 0.46, 0.28), (0.56, 0.54, 0.52),
)  # fmt: skip
SIZES = ((640, 360), (854, 480), (1280, 720))
BIT_RATES = {640: 380_000, 854: 600_000, 1280: 1_200_000}
"""As messengers send clips; a hold gets more, for its sway is a matter of pixels."""
HOLDS = {"handstand", "front-lever", "planche", "l-sit"}


def corpus(count: int = COUNT, seed: int = SEED) -> tuple[Recipe, ...]:
    """Recipes in a fixed order; every movement comes round in turn."""
    makers = tuple(EXERCISES)
    return tuple(_recipe(makers[number % len(makers)], number, seed) for number in range(count))


def _recipe(kind: str, number: int, seed: int) -> Recipe:
    random = np.random.default_rng([seed, number])
    exercise = _with_failure(EXERCISES[kind](random), np.random.default_rng([seed, number, 41]))
    return Recipe(
        name=f"{number:03d}-{kind}",
        seed=FIRST_SEED + number,
        exercise=exercise,
        person=_person(random),
        clothes=_clothes(random),
        room=_room(random, exercise),
        light=_light(random),
        phone=_phone(random, exercise),
        sway=_sway(random, exercise),
        facing="left" if random.random() < 0.5 else "right",
    )


def _person(random: Random) -> Person:
    gender = float(random.choice([0.0, 0.1, 0.5, 0.9, 1.0]))
    return Person(
        height_cm=round(float(np.clip(random.normal(177 - 12 * gender, 7), 152, 198)), 1),
        gender=gender,
        age=_between(random, 0.66, 0.9),
        muscle=_between(random, 0.4, 0.9),
        weight=_between(random, 0.3, 0.7),
        proportions=_between(random, 0.3, 0.8),
        skin=SKINS[random.integers(len(SKINS))],
        hair=random.choice(["short", "short", "long", "bald"])
        if gender < 0.5
        else random.choice(["long", "long", "short"]),
        hair_colour=HAIRS[random.integers(len(HAIRS))],
    )


def _clothes(random: Random) -> Clothes:
    return Clothes(
        top=random.choice(["bare", "tank", "tee", "tee", "long"]),
        top_colour=_colour(random, 0.12, 0.85),
        bottom=random.choice(["shorts", "shorts", "tights", "trousers"]),
        bottom_colour=_colour(random, 0.08, 0.6),
        pattern=random.choice(["plain", "plain", "melange", "stripes", "print"]),
        shoes=bool(random.random() < 0.75),
        shoe_colour=_colour(random, 0.2, 0.9),
    )


def _room(random: Random, exercise: Exercise) -> Room:
    occluder = random.choice(["none", "none", "none", "none", "post", "box"])
    shared = {
        "clutter": int(random.integers(0, 11)),
        "wall_distance": _between(random, 1.0, 3.2),
        "second_person": bool(random.random() < 0.12),
        "occluder": occluder if exercise.movement in {"push-up", "row", "pull-up", "dip"} else "none",
    }
    if random.random() < 0.2 and exercise.movement != "handstand-push-up":
        greens = {"floor_colour": (0.36, 0.48, 0.22), "wall_colour": (0.22, 0.36, 0.17)}
        return Room(floor="grass", wall="hedge", edges=False, **greens, **shared)
    return Room(
        floor=random.choice(["planks", "mats", "concrete", "carpet"]),
        wall=random.choice(["plaster", "brick", "panels"]),
        floor_colour=_muted(random, 0.25, 0.65),
        wall_colour=_muted(random, 0.45, 0.9),
        **shared,
    )


def _light(random: Random) -> Light:
    return Light(
        azimuth=_between(random, -80, 80),
        elevation=_between(random, 35, 75),
        strength=_between(random, 0.5, 1.3),
        ambient=_between(random, 0.45, 0.9),
        warmth=_between(random, -0.5, 0.6),
        exposure=_between(random, 0.75, 1.15),
        noise=_between(random, 0.006, 0.03),
        blur_px=_between(random, 0.4, 1.2),
    )


def _phone(random: Random, exercise: Exercise) -> Phone:
    width, height = SIZES[random.choice(3, p=[0.5, 0.35, 0.15])]
    upright = exercise.movement in {"pull-up", "squat", "handstand", "handstand-push-up"}
    if random.random() < (0.7 if upright else 0.1):
        width, height = height, width
    low = random.random() < 0.3
    shaken = random.random() < 0.35
    lens_height = _between(random, 0.1, 0.3) if low else _between(random, 0.4, 1.6)
    return Phone(
        width=width,
        height=height,
        rate=float(random.choice([24, 25, 30, 30, 30, 30, 30, 30, 60 if max(width, height) == 640 else 30])),
        view=float(random.choice([55, 66, 72, 84, 100], p=[0.15, 0.4, 0.2, 0.15, 0.1])),
        fill=_between(random, 0.62, 0.9),
        lens_height=lens_height,
        yaw=_between(random, -10, 10)
        if random.random() < 0.7
        else float(random.choice([-1, 1])) * _between(random, 10, 25),
        roll=_between(random, -2, 2)
        if random.random() < 0.65
        else float(random.choice([-1, 1])) * _between(random, 2, 8),
        shake_deg=_between(random, 0.1, 0.5) if shaken else 0.0,
        shake_m=_between(random, 0.002, 0.012) if shaken else 0.0,
        variable_rate=bool(random.random() < 0.2),
        bit_rate=round(BIT_RATES[max(width, height)] * (1.0 if exercise.hold is None else 2.2)),
    )


def _sway(random: Random, exercise: Exercise) -> Sway:
    shift = _between(random, 2.5, 14) if exercise.hold else _between(random, 1.5, 5)
    wobble = _between(random, 1.0, 2.5) if exercise.hold is None and random.random() < 0.15 else 0.0
    return Sway(shift_mm=shift, angle=_between(random, 0.2, 0.8), wobble=wobble)


def _reps(random: Random, count: int, slow: float) -> tuple[Rep, ...]:
    """A few reps of one athlete: much the same, with a fault now and then."""
    lowering = slow * _between(random, 0.8, 1.4)
    profile = random.choice(["even", "even", "smooth", "drop", "creep"])
    reps = []
    for _ in range(count):
        seconds = lowering * _between(random, 0.9, 1.1)
        faulty = random.random()
        depth = _between(random, 0.32, 0.45) if faulty < 0.07 else _between(random, 0.6, 0.75) if faulty < 0.2 else 1.0
        stops = (
            ((_between(random, 0.35, 0.6), _between(random, 0.3, 0.5)),)
            if random.random() < 0.12 and seconds > 2
            else ()
        )
        reps.append(
            Rep(
                lowering=seconds,
                bottom=_between(random, 0.3, 1.0),
                raising=_between(random, 0.8, 1.7),
                top=_between(random, 0.3, 1.0),
                depth=depth * _between(random, 0.97, 1.0),
                profile=profile,
                ramp=_between(random, 0.1, 0.4),
                stops=stops,
                creep=_between(random, -0.015, 0.015),
            )
        )
    return tuple(reps)


def _moving(
    random: Random, movement: str, straight: float, bent: float, place: dict[str, float], variant: str = ""
) -> Exercise:
    count = 2 if random.random() < 0.75 else 3
    cut = random.random()
    flare = _between(random, 0, 30) if random.random() < 0.7 else _between(random, 30, 55)
    return Exercise(
        movement=movement,
        variant=variant,
        straight=straight + _between(random, -3, 8),
        bent=bent + _between(random, -4, 10),
        flare=flare,
        sag=_between(random, -4, 10) if random.random() < 0.8 else _between(random, 10, 18),
        place=place,
        reps=_reps(random, count, 1.6 if count == 3 else 2.6),
        lead_in=_between(random, 1.0, 1.8),
        lead_out=_between(random, 0.8, 1.4) if cut > 0.12 else 0.0,
        end_cut=0.0 if cut > 0.12 else _between(random, 0.3, 0.7),
        step_off="settle" if cut > 0.12 else "none",
    )


def _with_failure(exercise: Exercise, random: Random) -> Exercise:
    """Now and then, where a rep begins with the raising, a last raise that turns back."""
    if exercise.movement not in {"row", "pull-up"} or exercise.end_cut or random.random() > 0.2:
        return exercise
    failed = exercise.reps[-1].model_copy(
        update={"turns_back_at": _between(random, 0.3, 0.45), "lowering": 1.0, "stops": ()}
    )
    return exercise.model_copy(update={"reps": (*exercise.reps[:1], failed)})


def _still(random: Random, movement: str, place: dict[str, float], variant: str = "") -> Exercise:
    return Exercise(
        movement=movement,
        variant=variant,
        straight=_between(random, 2, 8),
        place=place,
        hold=_between(random, 5.0, 9.5),
        drift=_between(random, -3, 3),
        lead_in=_between(random, 0.9, 1.6),
        lead_out=_between(random, 0.7, 1.3),
    )


def _push_up(random: Random) -> Exercise:
    raised = random.random()
    if raised < 0.3:
        return _moving(random, "push-up", 10, 90, {"hand_height": _between(random, 0.2, 0.55)}, "hands-raised")
    if raised < 0.45:
        return _moving(random, "push-up", 10, 90, {"foot_height": _between(random, 0.2, 0.4)}, "feet-raised")
    return _moving(random, "push-up", 10, 90, {"hands_behind": _between(random, 0.02, 0.08)})


def _row(random: Random) -> Exercise:
    angle = _between(random, 5, 50)
    place = {"body_angle": angle, "straps": float(random.random() < 0.5)}
    if angle < 15:
        place["foot_height"] = _between(random, 0.2, 0.4)
    return _moving(random, "row", 10, 98, place, "feet-raised" if angle < 15 else "")


def _pull_up(random: Random) -> Exercise:
    place = {"knee": _between(random, 5, 70), "hip": _between(random, 0, 15), "bar_height": _between(random, 2.3, 2.6)}
    return _moving(random, "pull-up", 12, 116, place)


def _dip(random: Random) -> Exercise:
    return _moving(random, "dip", 10, 88, {"knee": _between(random, 10, 95), "lean": _between(random, 15, 34)})


def _squat(random: Random) -> Exercise:
    return _moving(random, "squat", 8, 104, {"shin": _between(random, 28, 38)})


def _handstand_push_up(random: Random) -> Exercise:
    return _moving(random, "handstand-push-up", 10, 80, {"wall": _between(random, 0.33, 0.42)})


def _handstand(random: Random) -> Exercise:
    straddle = random.random() < 0.3
    place = {"lean": _between(random, -3, 5), "arch": _between(random, -2, 14), "straddle": 0.3 if straddle else 0.07}
    return _still(random, "handstand", place, "straddle" if straddle else "")


def _front_lever(random: Random) -> Exercise:
    rings = {"rings": float(random.random() < 0.5), "level": _between(random, -6, 8)}
    if random.random() < 0.5:
        tuck = {"hip": _between(random, 100, 120), "knee": _between(random, 110, 130)}
        return _still(random, "front-lever", rings | tuck, "tuck")
    return _still(random, "front-lever", rings | {"hip": _between(random, -2, 12)}, "full")


def _planche(random: Random) -> Exercise:
    place = {"hip": _between(random, 105, 122), "knee": _between(random, 115, 130), "level": _between(random, -10, 6)}
    return _still(random, "planche", place, "tuck")


def _l_sit(random: Random) -> Exercise:
    return _still(random, "l-sit", {"hip": _between(random, 88, 106), "knee": _between(random, 2, 12)})


EXERCISES: dict[str, Callable[[Random], Exercise]] = {
    "push-up": _push_up,
    "row": _row,
    "pull-up": _pull_up,
    "dip": _dip,
    "squat": _squat,
    "handstand-push-up": _handstand_push_up,
    "handstand": _handstand,
    "front-lever": _front_lever,
    "planche": _planche,
    "l-sit": _l_sit,
}


def _between(random: Random, low: float, high: float) -> float:
    return round(float(random.uniform(low, high)), 3)


def _colour(random: Random, low: float, high: float) -> Colour:
    red, green, blue = (round(float(v), 3) for v in random.uniform(low, high, 3))
    return red, green, blue


def _muted(random: Random, low: float, high: float) -> Colour:
    """A colour that floors and walls have: mostly grey."""
    grey = random.uniform(low, high)
    red, green, blue = (round(float(grey * v), 3) for v in random.uniform(0.82, 1.08, 3))
    return red, green, blue


def main() -> None:
    """Draw the corpus, or a part of it; clips that are there already are left alone."""
    parser = argparse.ArgumentParser(prog="python -m sample_clips.corpus", description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, default=COUNT, help="how many recipes the corpus has")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--first", type=int, default=0, help="start at this recipe")
    options = parser.parse_args()
    from sample_clips.film import build  # torch is slow to import

    for recipe in corpus(options.count, options.seed)[options.first :]:
        if not (options.out / f"{recipe.name}.mp4.truth.json").exists():
            print(build(recipe, options.out), flush=True)


if __name__ == "__main__":
    main()

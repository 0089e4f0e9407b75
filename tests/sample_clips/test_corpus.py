"""The corpus is the same for the same seed, and shows every movement, in every way that clips and people vary."""

from collections import Counter

import pytest

from models.movements import load_movement, movement_names
from sample_clips.corpus import corpus
from sample_clips.moves import MOVES
from sample_clips.recipe import Recipe
from sample_clips.tempo import RAISING_FIRST, plan

SEEDS = (20261201, 20261202)
ALL = corpus(150, SEEDS[1])


def test_a_seed_gives_the_same_recipes_whatever_the_count() -> None:
    assert corpus(150, SEEDS[1]) == ALL
    assert corpus(20, SEEDS[1]) == ALL[:20]
    assert corpus(20, SEEDS[0]) != ALL[:20]


def test_every_movement_of_the_catalogue_is_drawn_as_often_as_another() -> None:
    counts = Counter(recipe.exercise.movement for recipe in ALL)
    assert set(counts) == set(movement_names()) == set(MOVES)
    assert max(counts.values()) - min(counts.values()) <= 1


def test_names_and_seeds_are_each_recipes_own() -> None:
    recipes = [recipe for seed in SEEDS for recipe in corpus(150, seed)]
    assert len({recipe.name for recipe in ALL}) == len(ALL)
    assert len({recipe.seed for recipe in recipes}) == len(recipes)


def test_variants_and_what_suits_are_in_the_catalogue() -> None:
    for recipe in ALL:
        exercise = recipe.exercise
        movement = load_movement(exercise.movement).as_variant(exercise.variant or None)
        assert movement.reps is not None or not exercise.reps
        if exercise.band != "none" or exercise.partner != "none":
            assert movement.scalings.assistance
        if exercise.lowering_only:
            assert movement.scalings.lowering_only


def test_the_order_of_strokes_is_the_catalogues() -> None:
    first = {name: reps.first for name in movement_names() if (reps := load_movement(name).reps)}
    assert {name for name, stroke in first.items() if stroke == "raising"} == RAISING_FIRST


@pytest.mark.parametrize("seed", SEEDS)
def test_clips_are_short(seed: int) -> None:
    lengths = [float(plan(recipe.exercise).time[-1]) for recipe in corpus(60, seed)]
    assert min(lengths) > 4
    assert max(lengths) < 16


def test_all_of_it_is_small() -> None:
    bits = sum((recipe.phone.bit_rate or 0) * float(plan(recipe.exercise).time[-1]) for recipe in ALL)
    assert bits / 8e6 < 175


def varied(recipe: Recipe) -> dict[str, bool]:
    """What a clip shows of all that real ones do."""
    exercise, phone, room = recipe.exercise, recipe.phone, recipe.room
    reps = exercise.reps
    return {
        "uneven": exercise.asymmetry != 0,
        "lowering only": exercise.lowering_only,
        "1080p": max(phone.width, phone.height) == 1920,
        "ultra-wide": phone.view > 100,
        "steadied": phone.stabilised == "steady",
        "horizon locked": phone.stabilised == "horizon" and abs(phone.roll) > 3,
        "sensor": phone.sensor,
        "shaken": phone.shake_m > 0,
        "partner": exercise.partner != "none",
        "band": exercise.band != "none",
        "bystander": room.second_person,
        "hidden by something": room.occluder != "none",
        "past the edge": phone.cut > 0,
        "on the floor": phone.lens_height < 0.2,
        "no edges": not room.edges,
        "turned": abs(phone.yaw) > 10,
        "rolled": abs(phone.roll) > 2,
        "rings swing": exercise.swing > 0,
        "kipped": exercise.place.get("kip", 0) > 0,
        "flared": exercise.flare > 40,
        "sagging": exercise.sag > 10,
        "wobbling": recipe.sway.wobble > 0,
        "dropped": any(rep.profile == "drop" for rep in reps),
        "stopped": any(len(rep.stops) > 1 for rep in reps),
        "creeping": any(abs(rep.creep) > 0.02 for rep in reps),
        "partial": any(rep.depth < 0.8 for rep in reps),
        "turned back": any(rep.turns_back_at is not None for rep in reps),
        "from standing": exercise.set_up == "step",
        "begins within": exercise.start_cut > 0,
        "ends within": exercise.end_cut > 0,
        "straddle": exercise.variant == "straddle",
        "one leg": exercise.variant == "one-leg",
        "advanced tuck": exercise.variant == "advanced-tuck",
    }


def test_everything_varies_that_varies_in_real_clips() -> None:
    seen = Counter(name for recipe in ALL for name, is_so in varied(recipe).items() if is_so)
    assert set(varied(ALL[0])) == set(seen)

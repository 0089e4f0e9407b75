"""Squats on two legs and on one."""

from sample_clips.recipe import Clothes, Exercise, Light, Phone, Recipe, Rep
from sample_clips.recipes.cast import ADA, GARAGE, HOME, ILKA, PORTRAIT, STUDIO, TOMASZ

LEGS = (
    Recipe(
        name="squat",
        seed=104,
        person=ADA,
        clothes=Clothes(
            top="tee",
            top_colour=(0.20, 0.52, 0.46),
            bottom="tights",
            bottom_colour=(0.22, 0.18, 0.30),
            pattern="stripes",
        ),
        room=HOME,
        light=Light(warmth=0.4, noise=0.016),
        phone=Phone(**PORTRAIT, lens_height=0.75, yaw=8, variable_rate=True, shake_deg=0.25, shake_m=0.006, crf=25),
        facing="left",
        exercise=Exercise(
            movement="squat",
            straight=6,
            bent=108,
            lead_in=1.2,
            reps=(
                Rep(lowering=3.0, bottom=1.0, raising=1.2, top=0.6),
                Rep(lowering=3.2, bottom=0.9, raising=1.3, top=0.7),
                Rep(lowering=2.8, bottom=1.1, raising=1.3),
            ),
        ),
    ),
    Recipe(
        name="squat-set",
        seed=118,
        person=TOMASZ.model_copy(
            update={"weight": 0.62, "skin": (0.36, 0.24, 0.17), "hair_colour": (0.04, 0.03, 0.03)}
        ),
        clothes=Clothes(top="tee", top_colour=(0.62, 0.64, 0.66), bottom="shorts", bottom_colour=(0.2, 0.22, 0.5)),
        room=GARAGE,
        phone=Phone(**PORTRAIT, lens_height=0.6, yaw=-8, crf=28),
        exercise=Exercise(
            movement="squat",
            straight=6,
            bent=112,
            lead_in=1.6,
            lead_out=0.0,
            step_off="none",
            end_cut=1.7,
            reps=(
                Rep(lowering=4.1, bottom=1.2, raising=1.4, top=1.4),
                Rep(lowering=4.6, bottom=1.1, raising=1.5, top=1.6, stops=((0.45, 0.8),)),
                Rep(lowering=4.0, bottom=1.1, raising=1.6, top=2.0),
                Rep(lowering=2.2, bottom=0.6, raising=1.2, top=2.2, depth=0.38),
                Rep(lowering=4.2, bottom=1.0, raising=2.0),
            ),
        ),
    ),
    Recipe(
        name="single-leg-squat",
        seed=303,
        person=ILKA,
        clothes=Clothes(top="long", top_colour=(0.30, 0.44, 0.60), bottom="tights", bottom_colour=(0.14, 0.14, 0.16)),
        room=STUDIO,
        light=Light(azimuth=-30),
        phone=Phone(width=540, height=960, lens_height=0.5, yaw=6, bit_rate=750_000),
        exercise=Exercise(
            movement="single-leg-squat",
            straight=6,
            bent=122,
            lead_in=1.3,
            reps=(
                Rep(lowering=2.6, bottom=0.7, raising=1.3, top=0.7),
                Rep(lowering=2.4, bottom=0.6, raising=1.5, depth=0.86),
            ),
        ),
    ),
)

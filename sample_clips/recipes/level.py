"""Handstand, levers, planche, L-sit and flag."""

from sample_clips.recipe import Clothes, Exercise, Light, Phone, Recipe, Rep, Sway
from sample_clips.recipes.cast import ADA, GARAGE, HALL, HOLD_RATE, ILKA, JUN, PORTRAIT, SAMIR, STUDIO, TOMASZ

LEVEL = (
    Recipe(
        name="handstand-hold",
        seed=105,
        person=ILKA,
        clothes=Clothes(top="tank", top_colour=(0.24, 0.30, 0.52), bottom="tights", shoes=False),
        room=STUDIO,
        light=Light(azimuth=20),
        phone=Phone(**PORTRAIT, lens_height=1.0, yaw=-3, bit_rate=HOLD_RATE),
        sway=Sway(shift_mm=7.0, angle=0.5),
        exercise=Exercise(movement="handstand", straight=4, hold=10.2, lead_in=0.65, lead_out=0.45),
    ),
    Recipe(
        name="front-lever-tuck",
        seed=114,
        person=SAMIR,
        clothes=Clothes(top="tee", top_colour=(0.55, 0.24, 0.22), bottom="shorts"),
        room=HALL,
        light=Light(azimuth=-10),
        phone=Phone(lens_height=1.3, yaw=4, bit_rate=HOLD_RATE, fill=0.6),
        facing="left",
        sway=Sway(shift_mm=5.0, angle=0.6),
        exercise=Exercise(
            movement="front-lever",
            variant="tuck",
            straight=4,
            place={"hip": 112, "knee": 122, "rings": 1, "level": 3, "bar_height": 1.9},
            hold=7.5,
            drift=-2.0,
            lead_in=1.2,
            lead_out=0.9,
        ),
    ),
    Recipe(
        name="front-lever-full",
        seed=115,
        person=TOMASZ.model_copy(update={"muscle": 0.85, "height_cm": 174}),
        clothes=Clothes(top="bare", bottom="tights", bottom_colour=(0.16, 0.2, 0.34), shoes=False),
        room=STUDIO,
        phone=Phone(lens_height=1.5, yaw=-3, codec="hevc10", rotation=90, bit_rate=HOLD_RATE, fill=0.75),
        sway=Sway(shift_mm=4.0, angle=0.6),
        exercise=Exercise(
            movement="front-lever",
            variant="full",
            straight=4,
            place={"level": 1, "bar_height": 2.0},
            hold=6.2,
            drift=-3.0,
            lead_in=1.1,
            lead_out=0.9,
        ),
    ),
    Recipe(
        name="planche-tuck",
        seed=116,
        person=JUN,
        clothes=Clothes(top="tank", top_colour=(0.7, 0.7, 0.66), bottom="shorts", bottom_colour=(0.14, 0.14, 0.2)),
        room=GARAGE,
        phone=Phone(lens_height=0.5, yaw=5, bit_rate=HOLD_RATE, fill=0.6),
        facing="left",
        sway=Sway(shift_mm=4.0, angle=0.6),
        exercise=Exercise(
            movement="planche", variant="tuck", straight=4, hold=6.5, drift=2.0, lead_in=1.0, lead_out=0.8
        ),
    ),
    Recipe(
        name="l-sit",
        seed=217,
        person=ADA,
        clothes=Clothes(
            top="tee", top_colour=(0.85, 0.72, 0.3), bottom="tights", bottom_colour=(0.34, 0.30, 0.52), pattern="plain"
        ),
        room=STUDIO.model_copy(update={"clutter": 3}),
        light=Light(azimuth=-50, warmth=-0.2),
        phone=Phone(lens_height=0.55, roll=7.0, yaw=-4, bit_rate=HOLD_RATE, fill=0.66),
        sway=Sway(shift_mm=3.0, angle=0.6),
        exercise=Exercise(movement="l-sit", straight=3, hold=8.0, lead_in=1.0, lead_out=0.9),
    ),
    Recipe(
        name="human-flag-from-above",
        seed=304,
        person=TOMASZ.model_copy(update={"muscle": 0.85, "height_cm": 174}),
        clothes=Clothes(top="tee", top_colour=(0.72, 0.72, 0.70), bottom="shorts", bottom_colour=(0.46, 0.16, 0.18)),
        room=GARAGE,
        light=Light(azimuth=-20, elevation=60),
        phone=Phone(width=960, height=540, lens_height=1.2, yaw=3, bit_rate=680_000),
        exercise=Exercise(
            movement="human-flag",
            straight=-55,
            bent=0,
            lead_in=1.2,
            reps=(
                Rep(lowering=3.0, bottom=0.8, raising=1.6, top=0.7),
                Rep(lowering=2.6, bottom=0.7, raising=1.8, profile="drop"),
            ),
        ),
    ),
)

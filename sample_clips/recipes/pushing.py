"""Push-ups, dips and handstand push-ups."""

from sample_clips.recipe import Clothes, Exercise, Light, Phone, Recipe, Rep
from sample_clips.recipes.cast import GARAGE, GRETA, HOME, ILKA, JUN, LAWN, PORTRAIT, SAMIR, STUDIO, TOMASZ

PUSHING = (
    Recipe(
        name="push-up-flat",
        seed=101,
        person=ILKA,
        clothes=Clothes(top="tee", top_colour=(0.62, 0.20, 0.24), bottom="tights"),
        room=STUDIO,
        phone=Phone(lens_height=0.45, yaw=4.0),
        exercise=Exercise(
            movement="push-up",
            lead_in=1.6,
            lead_out=1.2,
            reps=(
                Rep(lowering=5.1, bottom=1.1, raising=1.1, top=0.25),
                Rep(lowering=5.2, bottom=1.0, raising=1.2, top=0.3),
            ),
        ),
    ),
    Recipe(
        name="push-up-hands-raised",
        seed=107,
        person=GRETA,
        clothes=Clothes(top="long", top_colour=(0.46, 0.32, 0.55), bottom="trousers", bottom_colour=(0.28, 0.28, 0.32)),
        room=HOME,
        light=Light(azimuth=40, warmth=0.3),
        phone=Phone(lens_height=0.9, yaw=6, shake_deg=0.35, shake_m=0.01, crf=26),
        facing="left",
        exercise=Exercise(
            movement="push-up",
            variant="hands-raised",
            straight=10,
            bent=92,
            place={"hand_height": 0.42},
            lead_in=1.5,
            reps=(
                Rep(lowering=3.1, bottom=0.9, raising=1.3, top=0.7),
                Rep(lowering=3.2, bottom=0.8, raising=1.5, top=0.7),
            ),
        ),
    ),
    Recipe(
        name="push-up-set",
        seed=108,
        person=TOMASZ,
        clothes=Clothes(
            top="tank",
            top_colour=(0.15, 0.15, 0.17),
            bottom="shorts",
            bottom_colour=(0.42, 0.44, 0.48),
            pattern="plain",
        ),
        room=GARAGE,
        phone=Phone(lens_height=0.3, yaw=-6, crf=27),
        exercise=Exercise(
            movement="push-up",
            bent=94,
            lead_in=1.8,
            lead_out=1.4,
            reps=(
                Rep(lowering=5.3, bottom=1.1, raising=1.1, top=0.4),
                Rep(lowering=5.2, bottom=1.0, raising=1.2, top=0.5),
                Rep(lowering=5.0, bottom=1.1, raising=1.3, top=0.8),
                Rep(lowering=5.1, bottom=1.0, raising=1.6, top=0.9, depth=0.97),
                Rep(lowering=4.9, bottom=1.0, raising=2.0, depth=0.95),
            ),
        ),
    ),
    Recipe(
        name="push-up-too-fast",
        seed=109,
        person=SAMIR,
        clothes=Clothes(top="tee", top_colour=(0.85, 0.80, 0.72), bottom="shorts", pattern="print"),
        room=LAWN,
        light=Light(azimuth=-60, elevation=48, strength=1.2, ambient=0.65, warmth=0.2),
        phone=Phone(lens_height=0.12, pitch=6.0, yaw=3, crf=30),
        facing="left",
        exercise=Exercise(
            movement="push-up",
            lead_in=1.4,
            reps=(
                Rep(lowering=1.4, bottom=0.3, raising=0.9, top=0.4),
                Rep(lowering=1.6, bottom=0.3, raising=1.0, top=0.4),
                Rep(lowering=1.3, bottom=0.25, raising=1.0, profile="drop"),
            ),
        ),
    ),
    Recipe(
        name="dip-full",
        seed=206,
        person=TOMASZ,
        clothes=Clothes(top="tee", top_colour=(0.70, 0.70, 0.72), bottom="shorts", bottom_colour=(0.20, 0.42, 0.34)),
        room=STUDIO.model_copy(update={"clutter": 3, "wall": "panels"}),
        phone=Phone(lens_height=1.2, fill=0.86, roll=-6.5, yaw=-5, crf=25),
        facing="left",
        exercise=Exercise(
            movement="dip",
            bent=94,
            lead_in=1.2,
            reps=(
                Rep(lowering=3.0, bottom=0.8, raising=1.2, top=0.6),
                Rep(lowering=3.1, bottom=0.7, raising=1.4, top=0.6),
                Rep(lowering=3.2, bottom=0.7, raising=1.6),
            ),
        ),
    ),
    Recipe(
        name="dip-shallow",
        seed=112,
        person=GRETA,
        clothes=Clothes(top="tee", top_colour=(0.24, 0.42, 0.62), bottom="shorts", bottom_colour=(0.35, 0.18, 0.3)),
        room=GARAGE,
        phone=Phone(lens_height=1.1, yaw=7, rate=25, crf=25),
        exercise=Exercise(
            movement="dip",
            bent=90,
            place={"bar_height": 1.15, "knee": 85},
            lead_in=1.2,
            reps=(
                Rep(lowering=2.2, bottom=0.5, raising=1.1, top=0.6, depth=0.62),
                Rep(lowering=2.0, bottom=0.5, raising=1.1, top=0.6, depth=0.44),
                Rep(lowering=2.4, bottom=0.6, raising=1.4, depth=0.70),
            ),
        ),
    ),
    Recipe(
        name="handstand-push-up",
        seed=113,
        person=JUN,
        clothes=Clothes(top="tee", top_colour=(0.16, 0.16, 0.18), bottom="shorts", bottom_colour=(0.5, 0.5, 0.52)),
        room=HOME.model_copy(update={"wall_distance": 2.0}),
        phone=Phone(**PORTRAIT, lens_height=0.8, yaw=-4, crf=25),
        exercise=Exercise(
            movement="handstand-push-up",
            bent=88,
            flare=30,
            lead_in=1.5,
            reps=(
                Rep(lowering=3.0, bottom=0.5, raising=1.6, top=0.8),
                Rep(lowering=3.2, bottom=0.4, raising=1.9, depth=0.96),
            ),
        ),
    ),
)

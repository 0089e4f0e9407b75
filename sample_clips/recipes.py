"""The committed clips, one recipe each."""

from sample_clips.recipe import Clothes, Exercise, Light, Person, Phone, Recipe, Rep, Room, Sway

ILKA = Person(height_cm=168, gender=1.0, muscle=0.6, weight=0.45, skin=(0.80, 0.61, 0.50), hair="long")
TOMASZ = Person(height_cm=181, gender=0.0, muscle=0.75, weight=0.5, skin=(0.76, 0.57, 0.46))
ADA = Person(
    height_cm=161,
    gender=0.95,
    age=0.7,
    muscle=0.55,
    weight=0.55,
    skin=(0.42, 0.28, 0.20),
    hair_colour=(0.05, 0.04, 0.04),
)
JUN = Person(
    height_cm=173, gender=0.05, muscle=0.7, weight=0.4, skin=(0.74, 0.58, 0.44), hair_colour=(0.06, 0.05, 0.05)
)
SAMIR = Person(height_cm=178, gender=0.0, age=0.75, muscle=0.62, weight=0.6, skin=(0.55, 0.38, 0.27), hair="bald")
GRETA = Person(
    height_cm=172,
    gender=0.9,
    age=0.82,
    muscle=0.5,
    weight=0.55,
    skin=(0.84, 0.67, 0.58),
    hair_colour=(0.55, 0.52, 0.50),
)

HALL = Room(floor="mats", floor_colour=(0.34, 0.38, 0.44), wall="brick", wall_colour=(0.72, 0.52, 0.42), clutter=6)
STUDIO = Room(floor="planks", wall="plaster", clutter=4)
GARAGE = Room(
    floor="concrete", floor_colour=(0.52, 0.52, 0.50), wall="panels", wall_colour=(0.66, 0.70, 0.72), clutter=7
)
HOME = Room(
    floor="carpet",
    floor_colour=(0.55, 0.50, 0.46),
    wall="plaster",
    wall_colour=(0.74, 0.80, 0.76),
    wall_distance=1.5,
    clutter=6,
)
LAWN = Room(
    floor="grass", floor_colour=(0.36, 0.50, 0.22), wall="hedge", wall_colour=(0.20, 0.36, 0.16), edges=False, clutter=3
)

PORTRAIT = {"width": 720, "height": 1280}
HOLD_RATE = 2_080_000
"""Bits per second of a hold: sway of a few millimetres must survive the encoder."""


ALL = (
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
        name="row-steep",
        seed=102,
        person=JUN,
        clothes=Clothes(top="tank", top_colour=(0.80, 0.76, 0.30), bottom="shorts", bottom_colour=(0.18, 0.22, 0.40)),
        room=HALL,
        light=Light(azimuth=35, warmth=-0.3),
        phone=Phone(lens_height=1.0, yaw=-7.0, crf=25),
        exercise=Exercise(
            movement="row",
            straight=8,
            bent=104,
            place={"body_angle": 40, "straps": 1},
            lead_in=1.5,
            reps=(
                Rep(raising=1.1, top=1.0, lowering=3.1, bottom=0.5),
                Rep(raising=1.2, top=0.9, lowering=3.3, bottom=0.4, profile="smooth"),
                Rep(raising=1.3, top=0.8, lowering=2.9),
            ),
        ),
    ),
    Recipe(
        name="pull-up-full",
        seed=103,
        person=SAMIR,
        clothes=Clothes(top="bare", bottom="shorts", bottom_colour=(0.55, 0.16, 0.14), pattern="plain"),
        room=GARAGE,
        light=Light(azimuth=-25, elevation=65),
        phone=Phone(**PORTRAIT, lens_height=0.15, yaw=5, view=70, crf=25),
        facing="left",
        exercise=Exercise(
            movement="pull-up",
            straight=10,
            bent=122,
            flare=20,
            lead_in=1.4,
            reps=(
                Rep(raising=1.4, top=0.6, lowering=3.0, bottom=0.6, straight=0.0),
                Rep(raising=1.6, top=0.5, lowering=2.8, bottom=0.6, depth=0.98),
                Rep(raising=2.0, top=0.4, lowering=2.3, depth=0.94, profile="drop"),
            ),
        ),
    ),
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
        name="row-level",
        seed=110,
        person=ADA,
        clothes=Clothes(top="tee", top_colour=(0.78, 0.42, 0.20), bottom="tights"),
        room=STUDIO,
        phone=Phone(lens_height=0.7, yaw=5, rate=24, crf=25),
        facing="left",
        exercise=Exercise(
            movement="row",
            variant="feet-raised",
            bent=102,
            place={"body_angle": 6, "foot_height": 0.30},
            lead_in=1.4,
            reps=(
                Rep(raising=1.3, top=0.8, lowering=3.0, bottom=0.5),
                Rep(raising=1.5, top=0.6, lowering=3.0, bottom=0.5),
            ),
        ),
    ),
    Recipe(
        name="pull-up-lowering-only",
        seed=111,
        person=GRETA.model_copy(update={"muscle": 0.6}),
        clothes=Clothes(top="tank", top_colour=(0.30, 0.46, 0.36), bottom="tights", bottom_colour=(0.2, 0.2, 0.26)),
        room=HALL,
        light=Light(azimuth=30, warmth=0.0),
        phone=Phone(**PORTRAIT, lens_height=1.3, yaw=-6, crf=25),
        exercise=Exercise(
            movement="pull-up",
            lowering_only=True,
            straight=10,
            bent=120,
            place={"step": 0.75},
            lead_in=1.6,
            lead_out=1.6,
            set_up="none",
            step_off="none",
            reps=(
                Rep(lowering=5.2, bottom=1.3, raising=2.2, top=1.2),
                Rep(lowering=5.0, bottom=1.2),
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
)
RECIPES = {recipe.name: recipe for recipe in ALL}

"""Who is in the committed clips, where, and how it was filmed. All of them are invented."""

from sample_clips.recipe import Person, Room

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

"""Athletes that the tests share."""

from models.body.athlete import Athlete

TOMASZ = Athlete(sex="man", height_cm=180, mass_kg=80, age=30)
MARIT = Athlete(sex="woman", height_cm=168, mass_kg=60, age=27)

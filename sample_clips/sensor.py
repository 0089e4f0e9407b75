"""The track that a phone's motion sensor records beside a clip: roll and pitch, biased, noisy, on a clock of its own."""

import numpy as np

from models.sensor import VERSION, Clock, Sample, SensorTrack
from sample_clips.camera import Camera, angles_of

RATES = (50.0, 60.0, 100.0)
BIAS, NOISE = 0.35, 0.06
"""Degrees, standard: how far a phone's level is off for good, and how much each sample is."""
LAG = 0.02
"""Seconds, standard: how well the clip's clock is known against the sensor's."""


def record(camera: Camera, seconds: float, seed: int) -> SensorTrack:
    """What the sensor of the phone records while it films for so many seconds."""
    random = np.random.default_rng([seed, 43])
    rate = float(random.choice(RATES))
    time = np.arange(0, seconds, 1 / rate) + random.uniform(0, 1 / rate)
    angles = angles_of(camera.held_at(time))
    read = {
        name: angles[name] + random.normal(0, BIAS) + random.normal(0, NOISE, len(time)) for name in ("roll", "pitch")
    }
    offset = float(random.choice([0.0, round(random.uniform(-3, 900), 3)]))
    shown = time + offset + random.normal(0, LAG)
    told = random.random()
    samples = zip(shown, read["roll"], read["pitch"], strict=True)
    return SensorTrack(
        document=VERSION,
        clock=Clock(offset=offset, u=LAG) if offset or told < 0.6 else None,
        u=round(float(np.hypot(BIAS, NOISE)), 2) if told < 0.5 else None,
        samples=tuple(Sample(time=round(t, 4), roll=round(r, 3), pitch=round(p, 3)) for t, r, p in samples),
    )

"""A model of the athlete's body in the plane in which it moves, and what a posture demands of it."""

from models.body.segments import MEAN, MEN, WOMEN, Segment, Sex, segments

__all__ = ["MEAN", "MEN", "WOMEN", "Segment", "Sex", "segments"]

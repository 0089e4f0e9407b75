"""Where a movement takes the body: one posture for every depth, and what the hands and feet rest on."""

from sample_clips.moves.bars import dip, pull_up, row
from sample_clips.moves.ground import push_up, squat
from sample_clips.moves.inverted import handstand, handstand_push_up
from sample_clips.moves.levers import front_lever, l_sit, planche
from sample_clips.moves.plan import Move, Placed, Unsteady

MOVES: dict[str, Move] = {
    "push-up": push_up,
    "row": row,
    "pull-up": pull_up,
    "dip": dip,
    "squat": squat,
    "handstand-push-up": handstand_push_up,
    "handstand": handstand,
    "front-lever": front_lever,
    "planche": planche,
    "l-sit": l_sit,
}

__all__ = ["MOVES", "Move", "Placed", "Unsteady"]

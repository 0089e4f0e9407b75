"""Where a movement takes the body: one posture for every depth, and what the hands and feet rest on."""

from sample_clips.moves.dip import dip
from sample_clips.moves.flag import human_flag
from sample_clips.moves.hang import chin_up, pull_up
from sample_clips.moves.inverted import handstand, handstand_push_up
from sample_clips.moves.l_sit import l_sit
from sample_clips.moves.levers import back_lever, front_lever, planche
from sample_clips.moves.muscle_up import muscle_up
from sample_clips.moves.plan import Act, Move, Placed, Unsteady
from sample_clips.moves.plank import plank
from sample_clips.moves.push_up import pike_push_up, push_up
from sample_clips.moves.row import row
from sample_clips.moves.squat import single_leg_squat, squat

MOVES: dict[str, Move] = {
    "push-up": push_up,
    "pike-push-up": pike_push_up,
    "handstand-push-up": handstand_push_up,
    "dip": dip,
    "row": row,
    "pull-up": pull_up,
    "chin-up": chin_up,
    "muscle-up": muscle_up,
    "squat": squat,
    "single-leg-squat": single_leg_squat,
    "front-lever": front_lever,
    "back-lever": back_lever,
    "planche": planche,
    "human-flag": human_flag,
    "handstand": handstand,
    "l-sit": l_sit,
    "plank": plank,
}

__all__ = ["MOVES", "Act", "Move", "Placed", "Unsteady"]

"""Whether who was followed does what the clip is said to show, and who else is in the way.

A helper who holds the athlete is upright, large and close: the landmark model takes them for the athlete, or makes one
body of both. Painted over, they leave the athlete alone in the picture.
"""

from collections.abc import Iterable, Mapping
from typing import Final

import numpy as np

from vision.looks import Look, Looks, least_visible
from vision.pose import Bodies, join
from vision.resemblance import UNLIKE, Sought, apart, resemblance
from vision.shown import MIRROR, swapped
from vision.skeleton import OTHER_SIDE
from vision.view import near_side

HALF: Final = 0.5
"""Somebody is doubtful who looks unlike the athlete, or like nobody in the picture, in more than this share of looks."""

EXCHANGED: Final = 1.0
"""Left and right are exchanged where that makes a body more like doing what is wanted by more than this mean square, in
the spreads of `vision.expected`: its joints then bend the other way."""


def alike(followed: Iterable[Bodies], wanted: Sought | None) -> float:
    """How well somebody followed is seen, and looks like doing what is wanted if that is known, added up over the looks."""
    seen = [
        (least_visible(body)[0], 1.0 if wanted is None else resemblance(body.points, wanted)[0]) for body in followed
    ]
    return float(sum(visible * like for visible, like in seen))


def doubtful(looks: Looks, followed: Mapping[int, Bodies], wanted: Sought) -> bool:
    """Whether somebody else than the one followed may be the athlete."""
    own = [resemblance(body.points, wanted)[0] for body in followed.values()]
    around = [resemblance(look.candidates.points, wanted).max() for look in looks.around if len(look.candidates)]
    return any(np.mean(np.array(seen) < UNLIKE) > HALF for seen in (own, around) if len(seen))


def others_in(looks: Looks, wanted: Sought) -> tuple[Look, ...]:
    """Looks at the whole picture, with those bodies in them that do something else."""
    unlike = [look.only(resemblance(look.candidates.points, wanted) < UNLIKE) for look in looks.around]
    return tuple(look for look in unlike if len(look.candidates))


def rightly_named(followed: Mapping[int, Bodies], wanted: Sought) -> Mapping[int, Bodies]:
    """Who was followed, with left and right exchanged all through the clip if the landmark model took one for the other.

    It does so, and holds the athlete for turned the other way, where the head is down or hidden.
    """
    if not followed or not wanted.signed:
        return followed
    points, world, _ = join(*followed.values()).arrays
    near = near_side(world)
    named = np.mean(apart(points, near, wanted))
    exchanged = np.mean(apart(points[:, MIRROR], OTHER_SIDE[near], wanted))
    if named - exchanged <= EXCHANGED:
        return followed
    return {frame: swapped(body) for frame, body in followed.items()}

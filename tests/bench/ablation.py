"""The program without one of its parts: each switched off from outside, by its trivial form in its place.

Nothing in `vision/` knows of this. A part is taken away by altering what the pass over the clip gave (`alter`), or by
putting something trivial in the place of a function or a constant (`instead`). A pass over the frames is made anew only
where the part changes what it is given, or how it is done (`looks`); all else is measured from the same tracks.
"""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from typing import Any
from unittest.mock import patch

import numpy as np
from numpy.typing import NDArray

from tests.bench.tracks import Alter, as_they_are, followed_once
from vision import body_angles, level, looks, place, seek, smooth, track, watch
from vision.fuse import fuse
from vision.level import Level
from vision.looks import Look
from vision.pose import Bodies, Landmarker, Picture
from vision.propagate import Estimate
from vision.track import Tracks

Array = NDArray[np.float64]
Instead = tuple[Any, str, Any]
"""Where a function or a constant is looked up, its name there, and what stands in its place."""


@dataclass(frozen=True)
class Part:
    """One part of the program; `words` say what is left without it."""

    name: str
    words: str
    alter: Alter = as_they_are
    instead: tuple[Instead, ...] = ()
    looks: bool = False
    """Whether it is a part of how the clip's frames are looked at, so that kept looks are of no use."""


@contextmanager
def without(part: Part | None) -> Iterator[None]:
    """Inside, clips are measured without a part (None: with all of them), from kept tracks."""
    with ExitStack() as stack:
        if part is None:
            stack.enter_context(followed_once())
        else:
            for owner, name, trivial in part.instead:
                stack.enter_context(patch.object(owner, name, trivial))
            way = part.name if part.looks else ""
            stack.enter_context(followed_once(part.alter, way=way))
        yield


def _no_flow(tracks: Tracks) -> Tracks:
    return replace(
        tracks, flow=np.full_like(tracks.flow, np.nan), flow_sd=np.full_like(tracks.flow_sd, np.inf)
    )  # fmt: skip


def _still_phone(tracks: Tracks) -> Tracks:
    return replace(tracks, camera=np.tile(np.eye(2, 3), (len(tracks.time), 1, 1)))


def _no_edges(tracks: Tracks) -> Tracks:
    return replace(tracks, looks=())


def _turn_alone(_proximal: Array, _distal: Array, turn: Array, *_: Any) -> Array:
    return turn


def _landmark_itself(_shoulder: Array, hip: Array, _near: str) -> Array:
    return hip


FROM_SCENE = level.from_scene


def _roll_alone(seen: list[Array], size: tuple[int, int]) -> Level:
    """The level that the scene shows, with the perspective of a tilted lens left in."""
    found = FROM_SCENE(seen, size)
    flat = found.gravity * [1, 1, 0]
    return replace(found, gravity=flat / np.linalg.norm(flat, axis=-1, keepdims=True))


def _usual_lens(seen: list[Array], size: tuple[int, int]) -> Level:
    return replace(FROM_SCENE(seen, size), focal=level.assumed(size).focal)


def _abeam(found: Level, yaw: Estimate) -> Level:
    return replace(found, yaw_u=yaw.u)


def _each_joint_alone(
    time: Array, landmarks: Array, sd: Array, flow: Array, flow_sd: Array, acceleration: float, _: object
) -> Array:
    joints = range(landmarks.shape[1])
    tracks = [fuse(time, landmarks[:, j], sd[:, j], flow[:, j], flow_sd[:, j], acceleration)[0] for j in joints]
    return np.stack(tracks, axis=1)


def _first_of_each(taken: tuple[Look, ...]) -> dict[int, int]:
    return dict.fromkeys(range(len(taken)), 0)


class _NeverRaisedError(Exception):
    """What no refusal is, so that none leads to a second try."""


def _nothing(_: Any) -> None:
    return None


def _nobody(bodies: Bodies, *_: Any) -> bool:
    return not len(bodies)


def _as_it_is(image: Picture, find: Landmarker) -> Bodies:
    return find(image)


PARTS = (
    Part("body fit", "each joint by itself, segments of any length", instead=((smooth, "fit", _each_joint_alone),)),
    Part(
        "span of a limb", "elbow and knee bend as the picture shows it", instead=((body_angles, "bend", _turn_alone),)
    ),
    Part("hip centre", "the hip's landmark itself", instead=((body_angles, "hip_joint", _landmark_itself),)),
    Part("flow", "landmarks alone, smoothed over time", alter=_no_flow),
    Part("athlete", "whoever is followed first, a helper too", instead=((track, "sought", _nothing),)),
    Part(
        "placing", "joints where the smaller model sees them", instead=((place, "larger_bundle", _nothing),), looks=True
    ),
    Part("candidates", "the first body of every look", instead=((seek, "settle", _first_of_each),)),
    Part("from nearer", "whoever is lost is looked for in the whole picture only", instead=((seek, "ENOUGH", 0.0),)),
    Part(
        "second try",
        "whom the smaller model does not see is refused",
        instead=((watch, "UnseenError", _NeverRaisedError),),
    ),
    Part(
        "second looks",
        "no other look where one seems wrong",
        instead=((looks, "_doubtful", _nobody),),
        looks=True,
    ),
    Part("mirror", "every look at the picture as it is", instead=((looks, "look_mirrored", _as_it_is),), looks=True),
    Part("phone's motion", "the phone taken to stand still", alter=_still_phone),
    Part("levelling", "the phone taken for level", alter=_no_edges),
    Part("rectification", "roll turned back, perspective left in", instead=((level, "from_scene", _roll_alone),)),
    Part("yaw", "the view taken for one from straight abeam", instead=((Level, "facing", _abeam),)),
    Part("lens", "every lens taken for the usual one", instead=((level, "from_scene", _usual_lens),)),
)
BY_NAME = {part.name: part for part in PARTS}

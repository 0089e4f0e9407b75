"""From a recipe to a clip and its truth."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sample_clips.bystander import stand_beside
from sample_clips.camera import Camera, place_camera
from sample_clips.draw import Actor, Renderer
from sample_clips.encode import TICKS, encode, frame_ticks
from sample_clips.figure import Figure, build_figure
from sample_clips.recipe import Recipe
from sample_clips.scene import build_scene
from sample_clips.truth import write_truth

Array = NDArray[np.float64]
CHUNK = 128


def build(recipe: Recipe, folder: Path) -> Path:
    """Draw a recipe's clip into `folder` and write its truth beside it; returns the clip's path."""
    figure = build_figure(recipe)
    ticks = frame_ticks(recipe.phone, figure.seconds, recipe.seed)
    time = ticks / TICKS
    seen = seen_points(figure)
    camera = place_camera(recipe.phone, seen, time, recipe.seed)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{recipe.name}.mp4"
    truth = write_truth(figure, camera, time)
    encode(path, recipe.phone, ticks, pictures(figure, camera, time))
    beside = path.with_name(path.name + ".truth.json")
    beside.write_text(json.dumps(truth, separators=(",", ":")) + "\n", encoding="utf-8")
    return path


def pictures(figure: Figure, camera: Camera, time: Array) -> Iterator[NDArray[np.uint8]]:
    """The pictures (H, W, 3) that the phone takes at each time."""
    recipe, seen = figure.recipe, seen_points(figure)
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2
    scene = build_scene(recipe, figure.props, _mirror(figure), middle)
    beside = stand_beside(recipe, middle) if recipe.room.second_person else None
    actors = [Actor(figure.body, recipe.person, recipe.clothes)]
    actors += [Actor(beside.body, beside.body.person, beside.clothes)] if beside else []
    renderer = Renderer(recipe, scene, actors, middle)
    for first in range(0, len(time), CHUNK):
        chunk = time[first : first + CHUNK]
        pose = figure.pose(chunk)
        skins: list[tuple[Array, ...]] = [
            (vertices @ figure.facing.T,) for vertices in figure.body.skin(pose.rotations, pose.heads)
        ]
        if beside:
            other = beside.pose(chunk)
            others = beside.body.skin(other.rotations, other.heads)
            skins = [(*mine, beside.place(theirs)) for mine, theirs in zip(skins, others, strict=True)]
        for index, together in enumerate(skins, start=first):
            yield renderer.frame(together, camera, index)


def _mirror(figure: Figure) -> Array:
    """Takes what the athlete rests on to the world; mirrored, so that its far side is the far side either way."""
    return np.diag([figure.facing[0, 0], 1.0, 1.0])


def seen_points(figure: Figure) -> Array:
    """Everything (M, 3) of the athlete that the picture must show, over the whole clip."""
    joints = figure.joints(np.arange(0, figure.seconds, 0.2))
    return np.concatenate(list(joints.values()))

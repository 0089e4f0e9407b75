"""From a recipe to a clip and its truth."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

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
    actors = [Actor(figure.body, recipe.person, recipe.clothes)]
    renderer = Renderer(recipe, build_scene(recipe, figure.props, np.abs(figure.facing) * [np.sign(figure.facing[0, 0]), 1, 1], middle), actors, middle)
    index = 0
    for first in range(0, len(time), CHUNK):
        pose = figure.pose(time[first : first + CHUNK])
        for vertices in figure.body.skin(pose.rotations, pose.heads):
            yield renderer.frame([vertices @ figure.facing.T], camera, index)
            index += 1


def seen_points(figure: Figure) -> Array:
    """Everything (M, 3) of the athlete that the picture must show, over the whole clip."""
    joints = figure.joints(np.arange(0, figure.seconds, 0.2))
    return np.concatenate(list(joints.values()))

"""From a recipe to a clip and its truth."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sample_clips.camera import Camera, place_camera
from sample_clips.draw import Renderer
from sample_clips.encode import TICKS, encode, frame_ticks
from sample_clips.figure import Figure, build_figure
from sample_clips.gear import Strand, gear
from sample_clips.joints import joint_points
from sample_clips.others import others
from sample_clips.recipe import Recipe
from sample_clips.scene import build_scene
from sample_clips.sensor import record
from sample_clips.skin import Actor
from sample_clips.solids import Triangles, bar
from sample_clips.truth import write_truth

Array = NDArray[np.float64]
CHUNK = 128


def build(recipe: Recipe, folder: Path) -> Path:
    """Draw a recipe's clip into `folder`, write its truth beside it and its sensor track; returns the clip's path."""
    figure, camera, ticks = _set_up(recipe)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{recipe.name}.mp4"
    truth = write_truth(figure, camera, ticks / TICKS)
    encode(path, recipe.phone, ticks, pictures(figure, camera, ticks / TICKS))
    if recipe.phone.sensor:
        _write(path, "sensor", record(camera, figure.seconds, recipe.seed).model_dump_json(exclude_none=True))
    _write(path, "truth", json.dumps(truth, separators=(",", ":")))
    return path


def renew(recipe: Recipe, folder: Path) -> Path:
    """Write the truth of a clip that is there already anew, without drawing; returns the truth's path."""
    figure, camera, ticks = _set_up(recipe)
    clip = folder / f"{recipe.name}.mp4"
    return _write(clip, "truth", json.dumps(write_truth(figure, camera, ticks / TICKS), separators=(",", ":")))


def _set_up(recipe: Recipe) -> tuple[Figure, Camera, NDArray[np.int64]]:
    """The athlete, the phone, and when each frame is shown (ticks)."""
    figure = build_figure(recipe)
    ticks = frame_ticks(recipe.phone, figure.seconds, recipe.seed)
    return figure, place_camera(recipe.phone, seen_points(figure), ticks / TICKS, recipe.seed), ticks


def _write(clip: Path, what: str, text: str) -> Path:
    path = clip.with_name(f"{clip.name}.{what}.json")
    path.write_text(text + "\n", encoding="utf-8")
    return path


def pictures(figure: Figure, camera: Camera, time: Array) -> Iterator[NDArray[np.uint8]]:
    """The pictures (H, W, 3) that the phone takes at each time."""
    recipe, seen = figure.recipe, seen_points(figure)
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2
    scene = build_scene(recipe, figure.props, _mirror(figure), middle)
    company = others(figure, middle)
    actors = [Actor(figure.body, recipe.person, recipe.clothes)]
    actors += [Actor(other.body, other.body.person, other.clothes) for other in company]
    renderer = Renderer(recipe, scene, actors, middle)
    for first in range(0, len(time), CHUNK):
        chunk = time[first : first + CHUNK]
        pose = figure.pose(chunk)
        strands = gear(recipe.exercise, joint_points(figure.body, pose), figure.at_rest)
        skins = [figure.body.skin(pose.rotations, pose.heads)]
        places = [lambda vertices: vertices @ figure.facing.T, *(other.place for other in company)]
        for other in company:
            posed = other.pose(chunk)
            skins.append(other.body.skin(posed.rotations, posed.heads))
        for index, together in enumerate(zip(*skins, strict=True)):
            placed = [place(skin) for place, skin in zip(places, together, strict=True)]
            yield renderer.frame(placed, _solids(strands, figure.facing, index), camera, first + index)


def _solids(strands: list[Strand], facing: Array, index: int) -> Triangles:
    """The strands at one of their frames, world axes."""
    pieces = [
        bar(facing @ s.first[index], facing @ s.second[index], s.radius, s.material, s.colour, sides=8) for s in strands
    ]
    return np.concatenate([np.zeros((0, 12), np.float32), *pieces])


def _mirror(figure: Figure) -> Array:
    """Takes what the athlete rests on to the world; mirrored, so that its far side is the far side either way."""
    if figure.placed_first.front:
        return figure.facing
    return np.diag([figure.facing[0, 0], 1.0, 1.0])


def seen_points(figure: Figure) -> Array:
    """Everything (M, 3) of the athlete that the picture must show, over the whole clip."""
    joints = figure.joints(np.arange(0, figure.seconds, 0.2))
    return np.concatenate(list(joints.values()))

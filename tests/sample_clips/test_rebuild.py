"""A recipe draws its clip again: the committed truth is what its own recipe gives. Needs the extra `render`."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sample_clips.recipe import Recipe

FOLDER = Path(__file__).parents[2] / "sample_clips"


def test_a_truth_holds_its_whole_recipe() -> None:
    for path in sorted(FOLDER.glob("*.truth.json")):
        stored = json.loads(path.read_text(encoding="utf-8"))["recipe"]
        assert Recipe.model_validate(stored).model_dump(mode="json") == stored


def _same(first: Any, second: Any) -> bool:
    """Equal but for the last digits, which processors round differently."""
    if isinstance(first, dict):
        return first.keys() == second.keys() and all(_same(first[key], second[key]) for key in first)
    if isinstance(first, list):
        return len(first) == len(second) and all(map(_same, first, second))
    if isinstance(first, float) and isinstance(second, float):
        return abs(first - second) <= 2e-3 * max(1.0, abs(first))
    return bool(first == second)


@pytest.mark.parametrize("name", ["push-up-flat", "row-steep", "l-sit"])
def test_a_recipe_gives_its_truth_again(name: str) -> None:
    pytest.importorskip("anny", reason="the extra `render` is not installed: pip install plumbrep[render]")
    pytest.importorskip("moderngl", reason="the extra `render` is not installed: pip install plumbrep[render]")
    from sample_clips.camera import place_camera
    from sample_clips.figure import build_figure
    from sample_clips.film import seen_points
    from sample_clips.truth import write_truth

    stored = json.loads((FOLDER / f"{name}.mp4.truth.json").read_text(encoding="utf-8"))
    recipe = Recipe.model_validate(stored["recipe"])
    figure = build_figure(recipe)
    time = np.array(stored["frames"]["time"])
    again = write_truth(figure, place_camera(recipe.phone, seen_points(figure), time, recipe.seed), time)
    assert _same(again["sets"], stored["sets"])
    for joint, both in again["frames"]["joints"].items():
        assert np.allclose(both["m"], stored["frames"]["joints"][joint]["m"], atol=1e-4)
        assert np.allclose(both["px"], stored["frames"]["joints"][joint]["px"], atol=0.1)

"""Bodies from the parametric human `anny` (Apache-2.0)."""

from functools import cache

import anny
import numpy as np
import torch
from anny.keypoints import KeypointsRegressor

from sample_clips.body import Body
from sample_clips.recipe import Person

FROM_ANNY = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
"""Takes anny's axes (left x, back y, up z) to the canonical ones."""
FACE = ("nose", "left_ear", "right_ear")


@cache
def build_body(person: Person) -> Body:
    """The body of a person: anny's rest shape for the phenotype, its height found by secant steps."""
    wanted = person.height_cm / 100
    height, previous, tall_previous = 0.5, 0.35, _tall(person, 0.35)
    for _ in range(12):
        tall = _tall(person, height)
        if abs(tall - wanted) < 1e-5:
            break
        step = (wanted - tall) * (height - previous) / (tall - tall_previous)
        previous, tall_previous, height = height, tall, float(np.clip(height + step, 0, 1))
    return _body(person, _rest(person, height))


def _tall(person: Person, height: float) -> float:
    return float(np.ptp(_rest(person, height)["rest_vertices"][0].numpy()[:, 2]))


@cache
def _model() -> anny.Anny:
    return anny.Anny()


def _rest(person: Person, height: float) -> dict[str, torch.Tensor]:
    names = ("gender", "age", "muscle", "weight", "proportions")
    phenotype = {name: torch.tensor(getattr(person, name), dtype=torch.float64) for name in names}
    phenotype["height"] = torch.tensor(height, dtype=torch.float64)
    with torch.no_grad():
        out: dict[str, torch.Tensor] = _model()(phenotype_kwargs=phenotype)
    return out


def _body(person: Person, rest: dict[str, torch.Tensor]) -> Body:
    model = _model()
    vertices = rest["rest_vertices"][0].numpy()
    weights = np.zeros((len(vertices), len(model.bone_labels)))
    rows = np.arange(len(vertices))[:, None]
    np.add.at(weights, (rows, model.vertex_bone_indices.numpy()), model.vertex_bone_weights.numpy())
    points = KeypointsRegressor.coco(model, labels=list(FACE))({"vertices": rest["rest_vertices"]})[0].numpy()
    return Body(
        person=person,
        names=tuple(model.bone_labels),
        parents=tuple(model.bone_parents),
        heads=rest["rest_bone_heads"][0].numpy() @ FROM_ANNY.T,
        vertices=vertices @ FROM_ANNY.T,
        faces=model.get_triangular_faces().numpy().astype(np.int64),
        bone_weights=weights,
        face={name: FROM_ANNY @ point for name, point in zip(FACE, points, strict=True)},
    )

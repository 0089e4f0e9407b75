"""The parametric body (anny): its size, its bones at rest, and its skin at any pose.

Canonical axes: X forward (where the belly faces when standing), Y to the athlete's left, Z up; metres.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property

import anny
import numpy as np
import torch
from anny.keypoints import KeypointsRegressor
from numpy.typing import NDArray

from sample_clips.recipe import Person

Array = NDArray[np.float64]
FROM_ANNY = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
"""Takes anny's axes (left x, back y, up z) to the canonical ones."""
BATCH = 32
SIDES = ("left", "right")
LETTER = {"left": "L", "right": "R"}


@cache
def _model() -> anny.Anny:
    return anny.Anny()


@cache
def _face_points() -> KeypointsRegressor:
    return KeypointsRegressor.coco(_model())


@dataclass(frozen=True, eq=False)
class Body:
    """One person at rest: bone heads (B, 3), skin (V, 3) and the phenotype that anny was asked for."""

    person: Person
    phenotype: dict[str, float]
    heads: Array
    vertices: Array
    orientations: Array

    @property
    def names(self) -> list[str]:
        """Names of the bones, in the order of every bone axis."""
        return list(_model().bone_labels)

    @cached_property
    def index(self) -> dict[str, int]:
        """Where each bone stands on a bone axis."""
        return {name: place for place, name in enumerate(self.names)}

    @property
    def parents(self) -> list[int]:
        """Parent of each bone, -1 for the root."""
        return list(_model().bone_parents)

    @property
    def faces(self) -> NDArray[np.int64]:
        """Triangles (F, 3) of the skin."""
        return np.asarray(_model().faces.numpy(), dtype=np.int64)

    @cached_property
    def bone_weights(self) -> Array:
        """Share (V, B) of each bone in the motion of each vertex."""
        weights = np.zeros((len(self.vertices), len(self.names)))
        rows = np.arange(len(weights))[:, None]
        np.add.at(weights, (rows, _model().vertex_bone_indices.numpy()), _model().vertex_bone_weights.numpy())
        return weights

    def head(self, name: str) -> Array:
        """Head (3,) of a bone at rest: the centre of the joint it turns about."""
        return self.heads[self.index[name]]

    def length(self, upper: str, lower: str) -> float:
        """Distance in metres between the heads of two bones at rest."""
        return float(np.linalg.norm(self.head(upper) - self.head(lower)))

    @cached_property
    def height(self) -> float:
        """Standing height in metres, barefoot."""
        return float(np.ptp(self.vertices[:, 2]))

    @cached_property
    def sole(self) -> float:
        """Height of the ankle's centre above the sole, metres."""
        return float(self.head("foot.L")[2] - self.vertices[:, 2].min())

    @cached_property
    def points(self) -> dict[str, tuple[int, Array]]:
        """Points that ride on one bone each: that bone, and the point (3,) at rest."""
        at = self.vertices
        points = {"crown": (self.index["head"], at[int(np.argmax(at[:, 2]))])}
        rest = torch.from_numpy(self.vertices @ FROM_ANNY)[None]
        for label, point in zip(_face_points().labels, _face_points()({"vertices": rest})[0].numpy(), strict=True):
            if label in ("nose", "left_ear", "right_ear"):
                points[label] = (self.index["head"], FROM_ANNY @ point)
        for side, letter in LETTER.items():
            foot, toe = self.index[f"foot.{letter}"], self.index[f"toe1-2.{letter}"]
            heel_cost = np.where(self.bone_weights[:, foot] > 0.5, at[:, 0] + 0.3 * at[:, 2], np.inf)
            tip_gain = np.where(self.bone_weights[:, toe] > 0.5, at[:, 0], -np.inf)
            points[f"{side}_heel"] = (foot, at[int(np.argmin(heel_cost))])
            points[f"{side}_toe"] = (toe, at[int(np.argmax(tip_gain))])
        return points

    def skin(self, rotations: Array, roots: Array) -> Iterator[Array]:
        """Skin (V, 3) of each frame, canonical axes.

        Args:
            rotations: (N, B, 3, 3) turn of each bone from rest.
            roots: (N, 3) where the root's head goes.
        """
        kwargs = {name: torch.tensor(value) for name, value in self.phenotype.items()}
        for start in range(0, len(rotations), BATCH):
            turn = rotations[start : start + BATCH]
            pose = np.tile(np.eye(4), (*turn.shape[:2], 1, 1))
            pose[..., :3, :3] = turn @ self.orientations
            pose[:, 0, :3, 3] = roots[start : start + BATCH]
            with torch.no_grad():
                out = _model()(
                    pose_parameters=torch.from_numpy(pose),
                    phenotype_kwargs=kwargs,
                    pose_parameterization="world-orient",
                )
            yield from out["vertices"].numpy()


def build_body(person: Person) -> Body:
    """The body of a person: anny's phenotype, its height found by bisection."""
    wanted = person.height_cm / 100
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = (low + high) / 2
        if _rest(person, middle).height < wanted:
            low = middle
        else:
            high = middle
    return _rest(person, (low + high) / 2)


def _rest(person: Person, height: float) -> Body:
    phenotype = {
        "gender": person.gender,
        "age": person.age,
        "muscle": person.muscle,
        "weight": person.weight,
        "height": height,
        "proportions": person.proportions,
    }
    with torch.no_grad():
        out = _model()(phenotype_kwargs={name: torch.tensor(value) for name, value in phenotype.items()})
    return Body(
        person=person,
        phenotype=phenotype,
        heads=out["rest_bone_heads"][0].numpy() @ FROM_ANNY.T,
        vertices=out["rest_vertices"][0].numpy() @ FROM_ANNY.T,
        orientations=FROM_ANNY @ out["rest_bone_poses"][0, :, :3, :3].numpy(),
    )

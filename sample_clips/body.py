"""A person's body: its size, its bones at rest, and its skin at any pose.

Canonical axes: X forward (where the belly faces when standing), Y to the athlete's left, Z up; metres.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from sample_clips.recipe import Person

Array = NDArray[np.float64]
SIDES = ("left", "right")
LETTER = {"left": "L", "right": "R"}


@dataclass(frozen=True, eq=False)
class Body:
    """One person at rest: heads of the bones (B, 3), skin (V, 3) with triangles (F, 3) and bone weights (V, B).

    `face` holds the nose's tip and the ears at rest.
    """

    person: Person
    names: tuple[str, ...]
    parents: tuple[int, ...]
    heads: Array
    vertices: Array
    faces: NDArray[np.int64]
    bone_weights: Array
    face: dict[str, Array]

    @cached_property
    def index(self) -> dict[str, int]:
        """Where each bone stands on a bone axis."""
        return {name: place for place, name in enumerate(self.names)}

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
        at, head = self.vertices, self.index["head"]
        points = {"crown": (head, at[int(np.argmax(at[:, 2]))])}
        points |= {name: (head, point) for name, point in self.face.items()}
        for side, letter in LETTER.items():
            foot, toe = self.index[f"foot.{letter}"], self.index[f"toe1-2.{letter}"]
            heel_cost = np.where(self.bone_weights[:, foot] > 0.5, at[:, 0] + 0.3 * at[:, 2], np.inf)
            tip_gain = np.where(self.bone_weights[:, toe] > 0.5, at[:, 0], -np.inf)
            points[f"{side}_heel"] = (foot, at[int(np.argmin(heel_cost))])
            points[f"{side}_toe"] = (toe, at[int(np.argmax(tip_gain))])
        return points

    @cached_property
    def _sparse_weights(self) -> csr_matrix:
        return csr_matrix(self.bone_weights)

    def skin(self, rotations: Array, heads: Array) -> Iterator[Array]:
        """Skin (V, 3) of each frame by linear blending.

        Args:
            rotations: (N, B, 3, 3) turn of each bone from rest.
            heads: (N, B, 3) where each bone's head is.
        """
        for turn, at in zip(rotations, heads, strict=True):
            shift = at - np.einsum("bij,bj->bi", turn, self.heads)
            blended = self._sparse_weights @ np.concatenate([turn.reshape(-1, 9), shift], axis=1)
            yield np.einsum("vij,vj->vi", blended[:, :9].reshape(-1, 3, 3), self.vertices) + blended[:, 9:]

"""A dressed body in the renderer: its mesh, its colours by place on the body."""

from dataclasses import dataclass

import moderngl
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from sample_clips.body import Body
from sample_clips.recipe import Clothes, Person

Array = NDArray[np.float64]
SLEEVE = {"bare": -1.0, "tank": -1.0, "tee": 0.34, "long": 0.985}
TROUSER = {"shorts": 0.36, "tights": 0.90, "trousers": 0.93}
PATTERN = {"plain": 0.0, "melange": 1.0, "stripes": 2.0, "print": 3.0}
HAIR = {"bald": 0.0, "short": 1.0, "long": 2.0}


@dataclass(frozen=True)
class Actor:
    """A body to draw, in its clothes."""

    body: Body
    person: Person
    clothes: Clothes


class Skin:
    """One actor's mesh in the renderer."""

    def __init__(
        self, context: moderngl.Context, program: moderngl.Program, depth: moderngl.Program, actor: Actor
    ) -> None:
        body = actor.body
        self.actor, self.program = actor, program
        self.faces = body.faces
        count = len(body.vertices)
        corners = self.faces.ravel()
        ones = np.ones(len(corners))
        self.gather = csr_matrix((ones, (corners, np.repeat(np.arange(len(self.faces)), 3))), (count, len(self.faces)))
        rest = np.hstack([body.vertices, _parts(body), _along_arm(body)]).astype(np.float32)
        self.moving = context.buffer(reserve=count * 24, dynamic=True)
        indices = context.buffer(self.faces.astype(np.int32).tobytes())
        still = context.buffer(rest.tobytes())
        content = [(self.moving, "3f 3f", "position", "normal"), (still, "3f 4f 1f", "rest", "part", "along_arm")]
        self.mesh = context.vertex_array(program, content, indices)
        self.outline = context.vertex_array(depth, [(self.moving, "3f 12x", "position")], indices)

    def move(self, vertices: Array) -> None:
        """Take the skin (V, 3), world axes."""
        a, b, c = (vertices[self.faces[:, corner]] for corner in range(3))
        normals = np.asarray(self.gather @ np.cross(b - a, c - a))
        normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
        self.moving.write(np.hstack([vertices, normals]).astype(np.float32).tobytes())

    def dress(self) -> None:
        """Tell the shader this actor's clothes and colours."""
        body, person, clothes = self.actor.body, self.actor.person, self.actor.clothes
        hip, knee_to_hip = body.head("upperleg01.L")[2], body.length("upperleg01.L", "foot.L")
        values = {
            "skin": person.skin, "top": clothes.top_colour, "bottom": clothes.bottom_colour,
            "shoe": clothes.shoe_colour, "hair": person.hair_colour,
            "sleeve": SLEEVE[clothes.top], "trouser": hip - TROUSER[clothes.bottom] * knee_to_hip,
            "waist": hip + 0.105, "shoes": float(clothes.shoes), "pattern": PATTERN[clothes.pattern],
            "hair_style": HAIR[person.hair], "strap": float(clothes.top == "tank"), "neck_line": 0.45,
            "topped": float(clothes.top != "bare"),
            "ears": tuple((body.points["left_ear"][1] + body.points["right_ear"][1]) / 2),
        }  # fmt: skip
        for name, value in values.items():
            if name in self.program:
                self.program[name].value = value


def _parts(body: Body) -> Array:
    """How far each vertex (V, 4) belongs to head, arms, eyes and feet."""
    starts = (
        ("neck", "head", "eye"),
        ("upperarm", "lowerarm", "wrist", "finger", "metacarpal"),
        ("eye",),
        ("foot", "toe"),
    )
    columns = []
    for start in starts:
        bones = [place for name, place in body.index.items() if name.startswith(start)]
        columns.append(body.bone_weights[:, bones].sum(axis=1))
    return np.stack(columns, axis=1)


def _along_arm(body: Body) -> Array:
    """How far along the arm each vertex (V, 1) lies: 0 shoulder, 1 wrist."""
    upper = body.length("upperarm01.L", "lowerarm01.L")
    lower = body.length("lowerarm01.L", "wrist.L")
    mirrored = body.vertices * [1, 0, 1] + np.abs(body.vertices) * [0, 1, 0]
    shoulder, elbow, wrist = (body.head(name) for name in ("upperarm01.L", "lowerarm01.L", "wrist.L"))
    on_upper = (mirrored - shoulder) @ (elbow - shoulder) / upper
    on_lower = upper + (mirrored - elbow) @ (wrist - elbow) / lower
    lower_bones = [
        place for name, place in body.index.items() if name.startswith(("lowerarm", "wrist", "finger", "meta"))
    ]
    below = body.bone_weights[:, lower_bones].sum(axis=1) > 0.5
    return (np.where(below, on_lower, on_upper) / (upper + lower))[:, None]

"""The room around the athlete: floor, walls, what is held or stood on, and what stands about."""

import numpy as np

from sample_clips.moves.plan import Prop
from sample_clips.recipe import Recipe
from sample_clips.solids import Triangles, Vector, ball, bar, box, quad

HALF = 6.0
CEILING = 3.3
COLOURS = {"steel": (0.55, 0.56, 0.58), "paint": (0.20, 0.22, 0.26), "rubber": (0.10, 0.10, 0.11)}


def build_scene(recipe: Recipe, props: tuple[Prop, ...], turn: Vector, middle: Vector) -> tuple[Triangles, Triangles]:
    """All that stands still, in world axes: the room itself, and the things in it (which cast shadows).

    Args:
        recipe: The clip's recipe.
        props: What the athlete rests on, canonical axes.
        turn: (3, 3) from canonical to world axes; mirrored, so that what stands beyond the athlete does so either way.
        middle: (3,) of what the phone looks at; the room is centred on it.
    """
    generator = np.random.default_rng([recipe.seed, 17])
    pieces = _clutter(recipe, generator, middle) + [_solid(prop, turn, recipe) for prop in props]
    pieces += _occluder(recipe, middle)
    nothing = np.zeros((0, 12), dtype=np.float32)
    return np.concatenate(_shell(recipe, middle)), np.concatenate([nothing, *pieces])


def _shell(recipe: Recipe, middle: Vector) -> list[Triangles]:
    room = recipe.room
    back, x0 = room.wall_distance, float(middle[0])
    corner = np.array([x0 - HALF, -HALF * 1.6, 0.0])
    wide, deep, high = np.array([2 * HALF, 0, 0]), np.array([0, HALF * 1.6 + back, 0]), np.array([0, 0, CEILING])
    pieces = [quad(corner, wide, deep, room.floor, room.floor_colour)]
    if room.wall == "hedge":
        pieces.append(quad(np.array([x0 - HALF, back, 0]), wide, high * 0.62, "hedge", room.wall_colour))
        for place in np.linspace(-HALF, HALF, 26):
            size = np.array([0.4, 0.3, 0.35 + 0.3 * abs(np.sin(9 * place))])
            pieces.append(ball(np.array([x0 + place, back - 0.1, 0.1]), size, "hedge", room.wall_colour))
            pieces.append(ball(np.array([x0 + place, back, 2.0]), size, "hedge", room.wall_colour))
        return pieces
    sides = [(np.array([x0 - HALF, back, 0]), wide), (np.array([x0 + HALF * 0.95, back, 0]), -deep)]
    sides.append((np.array([x0 - HALF * 0.95, corner[1], 0]), deep))
    pieces += [quad(at, across, high, room.wall, room.wall_colour) for at, across in sides]
    pieces.append(quad(corner + high + deep, wide, -deep, "panels", (0.95, 0.95, 0.93)))
    skirting = np.array([x0, back - 0.01, 0.06])
    pieces.append(box(skirting, np.array([2 * HALF, 0.02, 0.12]), "paint", (0.7, 0.68, 0.64)))
    return pieces


def _clutter(recipe: Recipe, generator: np.random.Generator, middle: Vector) -> list[Triangles]:
    back, pieces = recipe.room.wall_distance, []
    outdoors = recipe.room.wall == "hedge"
    kinds = ("ball", "bush") if outdoors else ("poster", "crate", "shelf", "ball", "window", "door", "crate", "poster")
    places = generator.permutation(np.linspace(-3.3, 3.3, 12))
    for number in range(recipe.room.clutter):
        x = float(middle[0] + places[number] + generator.uniform(-0.2, 0.2))
        colour = tuple(float(v) for v in generator.uniform(0.2, 0.9, 3))
        pieces.append(_thing(kinds[number % len(kinds)], x, back, colour, generator))
    return pieces


def _thing(kind: str, x: float, back: float, colour: tuple[float, ...], generator: np.random.Generator) -> Triangles:
    shade = (colour[0], colour[1], colour[2])
    if kind == "poster":
        size = np.array([generator.uniform(0.5, 0.9), 0.02, generator.uniform(0.5, 1.1)])
        at = np.array([x, back - 0.02, generator.uniform(1.2, 1.8)])
        return box(at, size, f"poster{generator.integers(0, 3)}", (1.0, 1.0, 1.0), whole=True)
    if kind == "window":
        return box(
            np.array([x, back - 0.02, 1.7]), np.array([1.1, 0.04, 1.2]), "window", (1.15, 1.15, 1.15), whole=True
        )
    if kind == "door":
        return box(np.array([x, back - 0.02, 1.03]), np.array([0.9, 0.05, 2.06]), "paint", shade)
    if kind == "shelf":
        boards = [np.array([x, back - 0.16, z]) for z in (0.1, 0.55, 1.0)]
        return np.concatenate([box(at, np.array([1.0, 0.3, 0.05]), "wood", (0.8, 0.6, 0.4)) for at in boards])
    if kind in ("ball", "bush"):
        radius = generator.uniform(0.12, 0.33)
        at = np.array([x, back - 0.45, radius])
        return ball(at, np.full(3, radius), "rubber" if kind == "ball" else "hedge", shade)
    size = generator.uniform([0.3, 0.25, 0.25], [0.8, 0.45, 0.8])
    return box(np.array([x, back - 0.4, size[2] / 2]), size, "wood", shade, turn=float(generator.uniform(-35, 35)))


def _occluder(recipe: Recipe, middle: Vector) -> list[Triangles]:
    """Something between the phone and the athlete."""
    kind, at = recipe.room.occluder, float(middle[0]) + recipe.room.occluder_at
    if kind == "post":
        foot = np.array([at, -0.75, 0.0])
        return [bar(foot, foot + [0, 0, 2.6], 0.03, "paint", (0.3, 0.3, 0.34))]
    if kind == "rail":
        height = max(float(middle[2]) + 0.1, 0.3)
        end = np.array([at, -0.7, height])
        legs = [bar(end + [x, 0, -height], end + [x, 0, 0], 0.022, "paint", (0.3, 0.3, 0.34)) for x in (-0.5, 0.5)]
        return [bar(end - [0.5, 0, 0], end + [0.5, 0, 0], 0.022, "steel", COLOURS["steel"]), *legs]
    if kind == "box":
        return [box(np.array([at, -0.8, 0.14]), np.array([0.4, 0.3, 0.28]), "wood", (0.7, 0.55, 0.4))]
    return []


def _solid(prop: Prop, turn: Vector, recipe: Recipe) -> Triangles:
    colour = COLOURS.get(prop.material, (0.82, 0.64, 0.44))
    material = prop.material
    if prop.material == "wall":
        material, colour = recipe.room.wall if recipe.room.wall != "hedge" else "brick", recipe.room.wall_colour
    if prop.kind == "box":
        return box(turn @ np.array(prop.first), np.abs(turn) @ np.array(prop.second), material, colour)
    return bar(turn @ np.array(prop.first), turn @ np.array(prop.second), prop.radius, material, colour)

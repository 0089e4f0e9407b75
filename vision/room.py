"""How a lens is turned against the edges of a scene, and how long its focal length is.

What people build has edges in three directions square to each other: one upright, two level. Each direction meets in a
vanishing point of its own, so the edges tell the lens's roll, pitch and yaw against them and, where they run in all
three directions, its focal length (Coughlan & Yuille 1999, Manhattan World; vanishing points: Hartley & Zisserman,
Multiple View Geometry, section 8.6). Four numbers are unknown: roll, pitch, yaw in degrees and the logarithm of the
focal length against `FOCAL`. Each edge belongs to one of the three directions or to none of them:

    p(edge) = max over directions k of s_k N(angle between the edge and direction k; 0, sd) + s_0 / 180 degrees

Many edges are pieces of one thing, so their joint likelihood counts with the power `WORTH`. Its product with the prior
is climbed from many starts, then sampled (importance sampling) for the mean and the covariance of all four, which are
wide where edges leave several answers open, and for the odds that the edges are a room's at all and no chance: the
mean likelihood over the prior against that of edges in any direction (Bayes factor, even odds before).
"""

from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, logsumexp

Array = NDArray[np.float64]

FOCAL: Final = 0.77
"""Focal length of a phone's main lens in video, share of the longer side (common practice, no source)."""
PRIOR_SD: Final = (3.5, 12.0, 30.0, 0.25)
"""Standard deviations of what is known without any edge. Roll and pitch: degrees by which a phone that was propped up or
held by eye stands from level. Yaw: degrees against the walls. Focal length: share, from ultra-wide lenses to a zoom."""
EDGE_SD: Final = 0.4
"""Degrees, standard: how well edges of one direction agree."""
PIXEL_SD: Final = 0.6
"""Pixels by which one end of an edge lies off against the other."""
SHARES: Final = (0.25, 0.20, 0.20)
STRAY: Final = 0.35
"""Expected shares of the edges: upright, level either way; in no such direction."""
WORTH: Final = 0.3
"""What an edge's evidence counts, since many edges are pieces or copies of one thing."""
MOST_EDGES: Final = 200
"""The longest edges are looked at, for the sake of speed."""
WIDTHS: Final = (8.0, 5.0, 3.0, 2.0, 1.4, 1.0, 1.0, 1.0, 1.0)
"""The climb sees edges blurred by these factors, one after the other, so that it starts from afar."""
PRUNE_AFTER: Final = 3
KEPT: Final = 12
"""Steps of the climb after which the best starts alone go on, and how many."""
MOST_MODES: Final = 8
DRAWS: Final = 800
"""Draws of the importance sampling, in each of two rounds."""
TAILS: Final = 5
"""Degrees of freedom of Student's t, from which they are drawn."""

_PRIOR: Final = np.array(PRIOR_SD)
_STARTS: Final = np.array(
    list(product((-6.0, 0.0, 6.0), (-12.0, 0.0, 12.0, 24.0), (-36.0, -18.0, 0.0, 18.0, 36.0), (-0.5, 0.05)))
)
_LOW: Final = np.array([-20.0, -40.0, -60.0, -0.8])
_HIGH: Final = np.array([20.0, 40.0, 60.0, 0.5])
_STEP: Final = np.array([5.0, 8.0, 10.0, 0.2])
_SMALL: Final = np.array([0.05, 0.05, 0.05, 0.005])
_APART: Final = np.array([0.5, 1.0, 2.0, 0.05])


@dataclass(frozen=True)
class Room:
    """Roll, pitch, yaw (degrees) and log focal length over `FOCAL` of the longer side."""

    mean: Array
    """(4,)."""
    covariance: Array
    """(4, 4)."""
    odds: float
    """Logarithm of the odds that the edges are a room's, against chance."""


@dataclass(frozen=True)
class _Edges:
    middle: Array
    """(n, 2) from the picture's centre, in longer sides."""
    direction: Array
    """(n,) radians."""
    sd: Array
    """(n,) degrees."""
    weight: Array
    """(n,)."""


def read_room(looks: list[Array], size: tuple[int, int]) -> Room | None:
    """Read edges (n, 4: x0, y0, x1, y1 in pixels) of several looks at one scene; None without any edge."""
    seen = _chosen(looks, size)
    if seen is None:
        return None
    turns = _climb(seen)
    modes = _modes(turns, seen)
    draws, weight, evidence = _sample(modes, seen)
    # A second round from where the first found most: ridges are covered that no summit stands for.
    picked = np.random.default_rng(1).choice(len(draws), MOST_MODES, p=weight)
    draws, weight, evidence = _sample(np.concatenate([modes, draws[picked]]), seen)
    mean = weight @ draws
    away = draws - mean
    return Room(mean, away.T @ (away * weight[:, None]), evidence)


def directions(turns: Array) -> Array:
    """Unit vectors (..., 3, 3) in the camera's frame (x right, y down, z away): down, across, away.

    `turns` (..., 4) holds roll, pitch and yaw in degrees. With yaw the phone stands further right and looks left.
    """
    roll, pitch, yaw = np.radians(np.moveaxis(np.asarray(turns)[..., :3], -1, 0))
    none, one = np.zeros_like(roll), np.ones_like(roll)
    level = np.array([[none, one, none], [np.cos(yaw), none, -np.sin(yaw)], [np.sin(yaw), none, np.cos(yaw)]])
    x, y, z = np.moveaxis(level, 1, 0)
    pitched = np.cos(pitch) * y + np.sin(pitch) * z
    seen = [
        np.cos(roll) * x + np.sin(roll) * pitched,
        np.cos(roll) * pitched - np.sin(roll) * x,
        np.cos(pitch) * z - np.sin(pitch) * y,
    ]
    return np.moveaxis(np.array(seen), (1, 0), (-2, -1))


def _chosen(looks: list[Array], size: tuple[int, int]) -> _Edges | None:
    lines = np.concatenate(looks) if looks else np.zeros((0, 4))
    along = lines[:, 2:] - lines[:, :2]
    length = np.hypot(*along.T)
    longest = np.argsort(-length, kind="stable")[:MOST_EDGES]
    lines, along, length = lines[longest], along[longest], length[longest]
    if not len(lines):
        return None
    middle = ((lines[:, :2] + lines[:, 2:]) / 2 - (np.array(size) - 1) / 2) / max(size)
    sd = np.hypot(EDGE_SD, np.degrees(PIXEL_SD / length))
    # The same edges come back in every look, so they count once.
    return _Edges(middle, np.arctan2(along[:, 1], along[:, 0]), sd, np.full(len(lines), 1 / len(looks)))


def _off(turns: Array, seen: _Edges) -> Array:
    """Angles (m, n, 3) in degrees, -90 to 90, of each edge from the three directions as seen at its place."""
    to = directions(turns)[:, None]
    focal = (FOCAL * np.exp(turns[:, 3]))[:, None, None]
    x, y = seen.middle[None, :, None, 0], seen.middle[None, :, None, 1]
    drawn = np.arctan2(focal * to[..., 1] - y * to[..., 2], focal * to[..., 0] - x * to[..., 2])
    return _half_turn(np.degrees(seen.direction[None, :, None] - drawn))


def _half_turn(degrees: Array) -> Array:
    return np.asarray((degrees + 90) % 180 - 90)


def _posterior(off: Array, turns: Array, seen: _Edges, width: float = 1.0) -> tuple[Array, Array]:
    """Log posterior (m,), not normalised, against edges in any direction; each edge's shares (m, n, 3) of directions."""
    sd = width * seen.sd[:, None]
    belongs = np.array(SHARES) * np.exp(-0.5 * (off / sd) ** 2) / (sd * np.sqrt(2 * np.pi))
    # The likeliest direction alone: on the horizon both level ones agree with an edge, which is no reason to look there.
    belongs = np.where(belongs == belongs.max(-1, keepdims=True), belongs, 0.0)
    density = belongs.sum(-1) + STRAY / 180
    log = WORTH * np.log(180 * density) @ seen.weight - 0.5 * np.sum((turns / _PRIOR) ** 2, axis=1)
    return log, belongs / density[..., None]


def _curvature(off: Array, shares: Array, turns: Array, seen: _Edges, width: float = 1.0) -> tuple[Array, Array]:
    """Gauss-Newton normal matrices (m, 4, 4) and gradients (m, 4) of the negative log posterior."""
    slope = np.stack(
        [_half_turn(_off(turns + step, seen) - off) / step[i] for i, step in enumerate(np.diag(_SMALL))], axis=-1
    )
    weight = WORTH * shares * (seen.weight / (width * seen.sd) ** 2)[:, None]
    weighted = slope * weight[..., None]
    normal = np.einsum("mnki,mnkj->mij", weighted, slope) + np.diag(_PRIOR**-2)
    return normal, np.einsum("mnki,mnk->mi", weighted, off) + turns / _PRIOR**2


def _climb(seen: _Edges) -> Array:
    """Summits (m, 4) of the posterior, some of them the same."""
    turns = _STARTS
    for n, width in enumerate(WIDTHS):
        off = _off(turns, seen)
        log, shares = _posterior(off, turns, seen, width)
        if n == PRUNE_AFTER:
            best = np.argsort(-log, kind="stable")[:KEPT]
            turns, off, shares = turns[best], off[best], shares[best]
        normal, gradient = _curvature(off, shares, turns, seen, width)
        step = np.linalg.solve(normal, gradient[..., None])[..., 0]
        if n <= PRUNE_AFTER:  # seen blurred, a start's own focal length will do
            step[:, 3] = 0
        turns = np.clip(turns - np.clip(step, -_STEP, _STEP), _LOW, _HIGH)
    return turns


def _modes(turns: Array, seen: _Edges) -> Array:
    """The summits that differ, the highest first."""
    log, _ = _posterior(_off(turns, seen), turns, seen)
    found: list[Array] = []
    for turn in turns[np.argsort(-log, kind="stable")]:
        if all(np.any(np.abs(turn - other) > _APART) for other in found):
            found.append(turn)
    return np.array(found[:MOST_MODES])


def _sample(modes: Array, seen: _Edges) -> tuple[Array, Array, float]:
    """Draws (d, 4) round the modes, their weights (summing to 1), and the log odds against chance."""
    off = _off(modes, seen)
    log, shares = _posterior(off, modes, seen)
    normal, _ = _curvature(off, shares, modes, seen)
    spread = 1.3 * np.linalg.cholesky(np.linalg.inv(normal))
    share = np.exp((log - log.max()) / 2) + 0.02
    share /= share.sum()
    random = np.random.default_rng(0)
    which = random.choice(len(modes), DRAWS, p=share)
    tails = np.sqrt(random.chisquare(TAILS, DRAWS) / TAILS)
    draws = modes[which] + np.einsum("nij,nj->ni", spread[which], random.standard_normal((DRAWS, 4))) / tails[:, None]
    target, _ = _posterior(_off(draws, seen), draws, seen)
    target -= 2 * np.log(2 * np.pi) + np.log(_PRIOR).sum()
    weight = target - logsumexp(_log_student(draws, modes, spread) + np.log(share), axis=1)
    total = logsumexp(weight)
    return draws, np.exp(weight - total), float(total - np.log(DRAWS))


def _log_student(draws: Array, modes: Array, spread: Array) -> Array:
    """Log density (d, m) of Student's t in four dimensions round each mode."""
    away = np.linalg.solve(spread[None], (draws[:, None] - modes)[..., None])[..., 0]
    size = np.log(np.diagonal(spread, axis1=1, axis2=2)).sum(1)
    constant = gammaln((TAILS + 4) / 2) - gammaln(TAILS / 2) - 2 * np.log(TAILS * np.pi)
    return np.asarray(constant - size - (TAILS + 4) / 2 * np.log1p(np.sum(away**2, axis=-1) / TAILS))

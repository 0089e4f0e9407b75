"""What hands and feet rest on: bars, boxes, parallettes. Canonical axes, metres."""

from sample_clips.moves.geometry import Array
from sample_clips.moves.plan import Prop

ANCHOR = 3.2
"""Height at which rings and bands are hung up."""


def high_bar(x: float, height: float, half: float = 0.75) -> tuple[Prop, ...]:
    """A bar across, hung from the ceiling at both ends."""
    bar = Prop("bar", (x, -half, height), (x, half, height), 0.017)
    return (bar, *(Prop("bar", (x, y, height), (x, y, 3.3), 0.025, "paint") for y in (-half, half)))


def parallel_bars(half_width: float, height: float) -> tuple[Prop, ...]:
    """Two rails along the body on four legs."""
    sides = (-half_width, half_width)
    rails = [Prop("bar", (-0.5, y, height), (0.55, y, height), 0.02) for y in sides]
    legs = [Prop("bar", (x, y, 0), (x, y, height), 0.02, "paint") for y in sides for x in (-0.48, 0.53)]
    return tuple(rails + legs)


def parallettes(half_width: float, height: float) -> tuple[Prop, ...]:
    """Two low bars on feet."""
    props = []
    for y in (-half_width, half_width):
        props.append(Prop("bar", (-0.22, y, height), (0.3, y, height), 0.019, "wood"))
        props += [Prop("bar", (x, y, 0.0), (x, y, height), 0.016, "paint") for x in (-0.18, 0.26)]
        props += [Prop("bar", (x, y - 0.13, 0.015), (x, y + 0.13, 0.015), 0.016, "paint") for x in (-0.18, 0.26)]
    return tuple(props)


def block(x: float, height: float, deep: float, wide: float) -> tuple[Prop, ...]:
    """A box on the floor whose top is so high; none for nothing."""
    if height <= 0:
        return ()
    return (Prop("box", (x, 0, height / 2), (deep, wide, height), material="wood"),)


def step(place: dict[str, float]) -> tuple[Prop, ...]:
    """The box to climb on between lowerings, `step` high."""
    return block(0.41, place["step"], 0.5, 0.6)


def straps(grip: Array, half_width: float) -> tuple[Prop, ...]:
    """Two handles across at `grip` (2,), each on a loop from a rail above and a little ahead."""
    x, z = float(grip[0]), float(grip[1])
    props = [Prop("bar", (x + 0.1, -0.5, 2.6), (x + 0.1, 0.5, 2.6), 0.03, "steel")]
    for y in (-half_width, half_width):
        props.append(Prop("bar", (x, y - 0.06, z), (x, y + 0.06, z), 0.016, "rubber"))
        props += [Prop("bar", (x, y + e, z), (x + 0.1, y * 0.4, 2.6), 0.006, "rubber") for e in (-0.06, 0.06)]
    return tuple(props)


def low_bar(grip: Array) -> tuple[Prop, ...]:
    """A bar across at `grip` (2,), held by a post beyond the athlete."""
    x, z = float(grip[0]), float(grip[1])
    return (
        Prop("bar", (x, -0.5, z), (x, 0.95, z), 0.016),
        Prop("bar", (x, 0.95, 0), (x, 0.95, z + 0.25), 0.03, "paint"),
    )


def wall(x: float) -> tuple[Prop, ...]:
    """A wall across, its face at x, to lean the feet on."""
    thickness = 0.2
    return (Prop("box", (x + thickness / 2, 0.1, 1.3), (thickness, 2.6, 2.6), material="wall"),)

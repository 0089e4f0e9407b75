"""Demand of a movement of the catalogue, in one of its variants, with the scalings that a coach chose."""

from typing import Final

from models.body.athlete import Athlete
from models.body.bearing import USUAL, Bearing, Mode
from models.body.demand import Asked, Demand, demand_of
from models.body.doubts import catalogue_angles
from models.body.situation import ANGLES, Situation
from models.errors import DemandError
from models.movements.demand import DemandEntry, End, Pose
from models.movements.movement import Movement
from models.scaling import STABILITY, Partner, Scalings

NOTHING: Final = Scalings()
SOMEONE: Final = Athlete()
NO_NUMBER: Final = "a partner helps, and nobody measured how much"


def demand(
    movement: Movement,
    athlete: Athlete = SOMEONE,
    *,
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
    bearing: Bearing = USUAL,
) -> Demand:
    """What a variant with its scalings asks of an athlete, against the movement itself in full.

    Args:
        movement: As the catalogue has it, not yet as one of its variants.
        athlete: As far as known.
        variant: Name of the variant; None, or a lever in the scalings that names one, else.
        scalings: What a coach chose.
        end: The posture to look at; None: the hard one.
        bearing: What a body can bear when it holds or lowers.

    Raises:
        MovementError: no such variant.
        DemandError: the movement's demand is not in the catalogue, or no posture fits.
    """
    situation = situation_of(movement, variant, scalings, end)
    full = situation_of(movement, None, NOTHING, end)
    asked = asked_of(movement, variant, scalings, bearing)
    return demand_of(situation, athlete, asked, full=full, angles=catalogue_angles(situation))


def asked_of(movement: Movement, variant: str | None, scalings: Scalings, bearing: Bearing) -> Asked:
    """How the demand of a variant is ranked, and how it is moved."""
    return Asked(
        limit=demand_entry(movement, variant, scalings).limit,
        mode=mode_of(movement, scalings),
        full_mode=mode_of(movement, NOTHING),
        bearing=bearing,
        stability=_rank(movement, variant, scalings),
        no_number=NO_NUMBER if isinstance(scalings.assistance, Partner) else None,
    )


def situation_of(
    movement: Movement, variant: str | None = None, scalings: Scalings = NOTHING, end: End | None = None
) -> Situation:
    """The posture, supports, help and load of a variant with its scalings.

    Raises:
        MovementError: no such variant.
        DemandError: the movement's demand, or this posture of it, is not in the catalogue.
    """
    entry = demand_entry(movement, variant, scalings)
    lever = scalings.leverage
    body = None if lever is None else lever.body
    wanted: End = end or entry.hard
    pose = pose_at(movement, entry, wanted)
    if scalings.hold is not None and scalings.hold.at is not None:
        done = movement.as_variant(_variant(variant, scalings))
        wanted, pose, body = _held_at(done, entry, scalings.hold.at, body)
    hands = None if lever is None else lever.hands_raised
    feet = None if lever is None else lever.feet_raised
    both = entry.hands != "none" and entry.feet != "none"
    return Situation(
        belly=entry.belly,
        hands=entry.hands,
        feet=entry.feet,
        pose=pose,
        start=entry.straight if both and wanted == "bent" else None,
        hands_raised=entry.hands_raised if hands is None else hands,
        feet_raised=entry.feet_raised if feet is None else feet,
        anchor=entry.anchor,
        body=body,
        line=movement.as_variant(_variant(variant, scalings)).line,
        load=scalings.load,
        band=scalings.band,
    )


def mode_of(movement: Movement, scalings: Scalings) -> Mode:
    """Whether the movement so scaled is raised, held or only lowered."""
    if scalings.lowering_only:
        return "lower"
    return "hold" if scalings.hold is not None or movement.usual == "hold" else "raise"


def _variant(variant: str | None, scalings: Scalings) -> str | None:
    """A lever is written as the variant of its name."""
    return variant or (scalings.leverage.lever if scalings.leverage is not None else None)


def demand_entry(movement: Movement, variant: str | None, scalings: Scalings) -> DemandEntry:
    """The catalogue's `[demand]` of a variant.

    Raises:
        MovementError: no such variant.
        DemandError: the catalogue has none.
    """
    entry = movement.as_variant(_variant(variant, scalings)).demand
    if entry is None:
        raise DemandError(
            f"the catalogue does not say what {movement.name} asks of the body; add a [demand] to its file"
        )
    return entry


def pose_at(movement: Movement, entry: DemandEntry, end: End) -> Pose:
    """One posture of the catalogue.

    Raises:
        DemandError: the movement has no such posture.
    """
    try:
        return entry.pose(end)
    except KeyError as fault:
        known = ", ".join(entry.ends)
        raise DemandError(f"{movement.name} has no posture {end!r} in its [demand] (known: {known})") from fault


def _held_at(movement: Movement, entry: DemandEntry, at: float, body: float | None) -> tuple[End, Pose, float | None]:
    """The posture at a point of the range: between both ends, as far along as the driving angle says."""
    reps = movement.reps
    if reps is None:
        raise DemandError(f"{movement.name} has no range to be held in; leave out where to hold it")
    if reps.driving in ("body", "lean", "trunk", "legs", "reach"):
        hard = pose_at(movement, entry, entry.hard)
        if reps.driving != "body":
            raise DemandError(
                f"the demand of {movement.name} held at a {reps.driving} of {at:g} cannot be told; name its end"
            )
        return entry.hard, hard, at
    straight, bent = pose_at(movement, entry, "straight"), pose_at(movement, entry, "bent")
    share = min(max((at - reps.straight) / reps.range, 0.0), 1.0)
    between = {name: _between(getattr(straight, name), getattr(bent, name), share) for name in ANGLES}
    return "bent", Pose.model_validate({**bent.model_dump(), **between, reps.driving: at}), body


def _between(straight: float | None, bent: float | None, share: float) -> float | None:
    """Open where the bent end leaves it open, and as at the bent end where only the straight one does."""
    return bent if straight is None or bent is None else straight + share * (bent - straight)


def _rank(movement: Movement, variant: str | None, scalings: Scalings) -> int | None:
    named = movement.variants[variant].support if variant else None
    place = scalings.stability or named or movement.scalings.usual
    return None if place is None else STABILITY[place]

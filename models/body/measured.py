"""Demand of the posture that a clip shows: of a rep at one of its ends, or of a hold."""

from models import document
from models.body.athlete import Athlete
from models.body.bearing import USUAL, Bearing
from models.body.build import Build, build_values
from models.body.catalogue import NOTHING, asked_of, demand_entry, pose_at, situation_of
from models.body.demand import Demand, demand_of, refused
from models.body.doubts import catalogue_angles
from models.body.figure import Posture, figure, seam
from models.body.situation import Situation, Which, line_direction, pitch_of
from models.movements.demand import Belly, DemandEntry, End, Pose
from models.movements.entry import Angle
from models.movements.movement import Movement
from models.quantity import Measured, Q, Unmeasured
from models.scaling import Scalings


def demand_of_rep(
    rep: document.Rep,
    movement: Movement,
    athlete: Athlete,
    *,
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
    bearing: Bearing = USUAL,
) -> Demand:
    """What a measured rep asked of the athlete at one of its ends; the catalogue's hard end if none is named.

    Where hands and feet bear, the hands stay where the straight end shows them: there the arms are measured best.

    Args:
        rep: From a measurement document.
        movement: As the catalogue has it, not yet as one of its variants.
        athlete: As far as known.
        variant: Name of the variant that was done.
        scalings: Help and load that were used; heights and angles are taken from the clip.
        end: `straight` or `bent`.
        bearing: What a body can bear when it holds or lowers.

    Raises:
        MovementError: no such variant.
        DemandError: the movement's demand is not in the catalogue, or nothing can keep the posture still.
    """
    entry = demand_entry(movement, variant, scalings)
    wanted: End = end or ("straight" if entry.hard == "straight" else "bent")
    shown = rep.straight if wanted == "straight" else rep.bent
    start = rep.straight if wanted == "bent" and entry.hands != "none" and entry.feet != "none" else None
    return _demand(shown, start, wanted, movement, athlete, variant, scalings, bearing)


def demand_of_hold(
    hold: document.Hold,
    movement: Movement,
    athlete: Athlete,
    *,
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    bearing: Bearing = USUAL,
) -> Demand:
    """What a measured hold asked of the athlete; see `demand_of_rep`."""
    entry = demand_entry(movement, variant, scalings)
    wanted: End = "held" if entry.held is not None else entry.hard
    return _demand(hold.posture, None, wanted, movement, athlete, variant, scalings, bearing)


def _demand(
    shown: document.Posture,
    start: document.Posture | None,
    end: End,
    movement: Movement,
    athlete: Athlete,
    variant: str | None,
    scalings: Scalings,
    bearing: Bearing,
) -> Demand:
    entry = demand_entry(movement, variant, scalings)
    asked = asked_of(movement, variant, scalings, bearing).model_copy(update={"measured": True})
    reason = _missing(shown, entry) or (_missing(start, entry) if start else None)
    if reason:
        return refused(asked, reason)
    situation = Situation(
        belly=_belly(shown, movement.as_variant(variant), entry.belly),
        hands=entry.hands,
        feet=entry.feet,
        pose=_pose(shown, pose_at(movement, entry, end), entry),
        start=None if start is None else _pose(start, pose_at(movement, entry, "straight"), entry),
        anchor=entry.anchor,
        load=scalings.load,
        band=scalings.band,
    )
    angles = catalogue_angles(situation) | _doubts("pose", shown, entry)
    if start is not None:
        angles |= _doubts("start", start, entry)
    return demand_of(situation, athlete, asked, full=situation_of(movement), angles=angles)


def _seen(entry: DemandEntry) -> tuple[Angle, ...]:
    """The angles that are taken from the clip: a flag is filmed from the front, where no joint's bend shows."""
    return ("trunk",) if entry.belly == "aside" else ("trunk", "shoulder", "elbow", "hip", "knee")


def _of(posture: document.Posture, angle: Angle) -> Q:
    value: Q = getattr(posture, angle)
    return value


def _missing(posture: document.Posture, entry: DemandEntry) -> str | None:
    """Why the demand cannot be told, if an angle that it needs has no value. A missing shoulder is found instead."""
    needed = [_of(posture, angle) for angle in _seen(entry) if angle != "shoulder"]
    return next((q.reason for q in needed if isinstance(q, Unmeasured)), None)


def _pose(posture: document.Posture, usual: Pose, entry: DemandEntry) -> Pose:
    """The catalogue's posture (for what no clip shows, as legs apart) with the measured angles in it."""
    measured: dict[str, float | None] = {angle: _of(posture, angle).value for angle in _seen(entry)}
    return usual.model_copy(update=measured)


def _doubts(which: Which, posture: document.Posture, entry: DemandEntry) -> dict[str, float]:
    found = ((angle, _of(posture, angle)) for angle in _seen(entry))
    return {f"{which}.{angle}": q.u for angle, q in found if isinstance(q, Measured)}


def _belly(shown: document.Posture, movement: Movement, belly: Belly) -> Belly:
    """Of an upright or inverted trunk, which way it is tilted: the sign is that of the measured lean."""
    lean, trunk, hip, knee = shown.lean, shown.trunk.value, shown.hip.value, shown.knee.value
    if belly == "aside" or not isinstance(lean, Measured) or trunk is None:
        return belly
    inverted = movement.position.trunk.high < 0
    build = Build.of(build_values("mean"))

    def off(candidate: Belly) -> float:
        posture = Posture(pitch_of(candidate, trunk), 0.0, hip=hip or 0.0, knee=knee or 0.0)
        line = line_direction(movement.line, figure(posture, build))
        return abs(seam((line + 90 if inverted else 90 - line) - lean.value))

    return min(("down", "up"), key=off)

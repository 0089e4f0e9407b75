"""What a posture on its supports asks of an athlete: loads, moments, and their ratio to the athlete's own full version."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final, get_args

from models.body.athlete import Athlete
from models.body.bearing import USUAL, Bearing, Mode
from models.body.doubts import K, Offsets, doubts, inputs
from models.body.propagate import Named, propagate
from models.body.segments import Sex
from models.body.situation import NO_OFFSETS, Situation, Solved, solve, trunk_of
from models.movements.demand import Joint, LimitedBy
from models.quantity import Frozen, Measured, Q, Unit, Unmeasured

G: Final = 9.80665
"""Standard gravity, m/s2."""
SEXES: Final[dict[str | None, tuple[Sex, ...]]] = {"man": ("men",), "woman": ("women",), None: ("mean", "men", "women")}
JOINTS: Final[tuple[Joint, ...]] = get_args(Joint)
FRACTION: Final[Unit] = "% of body weight x height"


class Demand(Frozen):
    """What a posture asks of the body.

    `hands` and `feet` are the sizes of their forces in % of body weight (without added load). `moments` are those that
    the muscles of both sides give together, positive where the flexors work: Nm where mass and height are known, else
    % of body weight x height. `limiting` is what ranks variants: `hands`, or the size of the moment at the joint
    `limit`. `ratio` is its share of the same in the athlete's own full version, and `effort` that share after what a
    body can bear in this `mode`, against raising or holding the full version. `stability` is a rank, 0 the firmest.
    `trunk`, `shoulder` (deg) and `rise`, the height of the hands over the feet (m), are the posture as it came out.
    """

    hands: Q
    feet: Q
    moments: dict[Joint, Q]
    limit: LimitedBy
    limiting: Q
    ratio: Q
    mode: Mode
    effort: Q
    stability: int | None
    trunk: Q
    shoulder: Q
    rise: Q
    notes: tuple[str, ...] = ()


class Asked(Frozen):
    """How a demand is to be ranked: what limits, against which full version, in which way of moving, on what."""

    limit: LimitedBy
    mode: Mode = "raise"
    full_mode: Mode = "raise"
    bearing: Bearing = USUAL
    stability: int | None = None
    no_number: str | None = None
    """Why the help has no number, where a partner gives it."""
    measured: bool = False
    """Whether the posture was measured: then its angles' doubts are not those of the full version."""


def demand_of(
    situation: Situation, athlete: Athlete, asked: Asked, *, full: Situation | None = None, angles: Offsets
) -> Demand:
    """Loads and moments of one posture with their uncertainty.

    Args:
        situation: The posture, its supports, help and load.
        athlete: Who holds it.
        asked: What limits it, and how it is done.
        full: The athlete's own full version of the movement; None: nothing to compare with.
        angles: Standard uncertainties of the postures' angles (`models.body.doubts`).

    Raises:
        DemandError: no posture fits, or nothing can keep it still.
    """
    if athlete.refused:
        return refused(asked, athlete.refused)
    unknown = untold(situation, athlete)
    if unknown:  # the posture can be told without the help and the load
        situation = replace(situation, load=None, band=None)
    reason = unknown or asked.no_number

    def results(values: Named) -> Named:
        return _results(situation, full, asked, values)

    return _told(*_with_doubt(results, situation, athlete, angles), situation, athlete, asked, reason)


def refused(asked: Asked, reason: str) -> Demand:
    """A demand without any number, and why."""
    nothing = Unmeasured(reason=reason)
    return Demand(
        hands=nothing,
        feet=nothing,
        moments=dict.fromkeys(JOINTS, nothing),
        limit=asked.limit,
        limiting=nothing,
        ratio=nothing,
        mode=asked.mode,
        effort=nothing,
        stability=asked.stability,
        trunk=nothing,
        shoulder=nothing,
        rise=nothing,
    )


def value_of(
    situation: Situation, athlete: Athlete, name: str, *, limit: LimitedBy, full: Situation | None = None
) -> float:
    """One result without its uncertainty, fast: `hands`, `feet`, a joint, `limiting`, `ratio`, `pitch` or `rise`."""
    sex = SEXES[athlete.sex][0]
    return _results(situation, full, Asked(limit=limit), inputs(athlete, sex))[name]


def _results(situation: Situation, full: Situation | None, asked: Asked, values: Named) -> dict[str, float]:
    solved = solve(situation, values)
    moments = {str(joint): 100 * moment for joint, moment in solved.held.moments.items()}
    found = {
        "hands": 100 * abs(solved.held.hands),
        "feet": 100 * abs(solved.held.feet),
        **moments,
        "limiting": _limiting(solved, asked.limit),
        "pitch": solved.settled.posture.pitch,
        "shoulder_angle": solved.settled.posture.shoulder,
        "rise": solved.rise * values["height"],
    }
    torque = values["mass"] * G * values["height"] / 100
    found |= {f"{joint} Nm": found[joint] * torque for joint in JOINTS}
    found["limiting Nm"] = found["limiting"] * torque
    if full is not None:
        own = {**values, **NO_OFFSETS} if asked.measured else values
        found["full"] = _limiting(solve(full, own), asked.limit)
        found["ratio"] = 100 * found["limiting"] / found["full"]
        found["effort"] = found["ratio"] * asked.bearing.factor(asked.full_mode) / asked.bearing.factor(asked.mode)
    return found


def _limiting(solved: Solved, limit: LimitedBy) -> float:
    return 100 * (abs(solved.held.hands) if limit == "hands" else abs(solved.held.moments[limit]))


def _with_doubt(
    results: Callable[[Named], Named], situation: Situation, athlete: Athlete, angles: Offsets
) -> tuple[Named, Named]:
    """Values, and standard uncertainties with half the spread between the sexes where the sex is not told."""
    sexes = SEXES[athlete.sex]
    values = inputs(athlete, sexes[0])
    found = results(values)
    spread = propagate(results, values, doubts(situation, athlete, angles))
    if len(sexes) > 1:
        men, women = (results(inputs(athlete, sex)) for sex in sexes[1:])
        spread = {name: (u**2 + ((men[name] - women[name]) / 2) ** 2) ** 0.5 for name, u in spread.items()}
    return found, spread


def untold(situation: Situation, athlete: Athlete) -> str | None:
    """Why loads and moments have no number, if something that they depend on is not known."""
    if athlete.mass_kg is not None or (situation.load is None and situation.band is None):
        return None
    what = "added load" if situation.load is not None else "a band's pull"
    return f"the athlete's mass is not known, so {what} has no share of it; tell the mass"


def _told(
    found: Named, spread: Named, situation: Situation, athlete: Athlete, asked: Asked, reason: str | None
) -> Demand:
    def tell(name: str, unit: Unit, why: str | None) -> Q:
        return Unmeasured(reason=why) if why else Measured(value=found[name], U95=K * spread[name], unit=unit)

    known = athlete.mass_kg is not None and athlete.height_cm is not None
    suffix = " Nm" if known else ""
    unit: Unit = "Nm" if known else FRACTION
    alone = _incomparable(found, spread)
    crossed = "the two arms of a flag do not bear alike" if situation.belly == "aside" else None
    moments = {joint: tell(joint + suffix, unit, reason or (crossed if joint == "elbow" else None)) for joint in JOINTS}
    pitch = tell("pitch", "deg", None)
    trunk = pitch if pitch.value is None else pitch.model_copy(update={"value": trunk_of(pitch.value)})
    by_hands = asked.limit == "hands"
    return Demand(
        hands=tell("hands", "% of body weight", reason),
        feet=tell("feet", "% of body weight", reason),
        moments=moments,
        limit=asked.limit,
        limiting=tell("limiting", "% of body weight", reason) if by_hands else tell("limiting" + suffix, unit, reason),
        ratio=tell("ratio", "%", reason or alone),
        mode=asked.mode,
        effort=tell("effort", "%", reason or alone),
        stability=asked.stability,
        trunk=trunk,
        shoulder=tell("shoulder_angle", "deg", None),
        rise=tell("rise", "m", None),
        notes=_notes(situation, athlete),
    )


def _incomparable(found: Named, spread: Named) -> str | None:
    if "full" not in found:
        return "there is no full version to compare with"
    if found["full"] <= K * spread["full"]:
        return "in the full version hardly anything limits; there is nothing to compare with"
    return None


def _notes(situation: Situation, athlete: Athlete) -> tuple[str, ...]:
    notes = []
    if athlete.sex is None:
        notes.append("The sex is not told: the mean of both tables, their spread in U95.")
    if athlete.age is None:
        notes.append("The tables are of adults; under eighteen they do not apply.")
    if athlete.height_cm is None and (situation.hands_raised or situation.feet_raised or situation.band):
        notes.append("The height is not told: 1.70 m, give or take 0.20 m.")
    if situation.band is not None and not situation.band.calibration:
        notes.append("The band is not calibrated: its pull is known to 30 %.")
    if (
        situation.both_bear
        and situation.hands in ("floor", "forearms")
        and situation.hands_raised != situation.feet_raised
    ):
        notes.append("A push along the floor would change the share of the hands; none is assumed.")
    return tuple(notes)

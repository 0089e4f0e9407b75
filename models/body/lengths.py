"""Lengths of the body's segments, and where hands and feet bear, as shares of standing height.

Source of the lengths: Drillis R, Contini R (1966) Body segment parameters, as printed by Winter DA (2009) Biomechanics
and Motor Control of Human Movement, 4th ed., fig. 4.1: heights over the floor of ankle 0.039, knee 0.285, hip 0.530 and
shoulder 0.818, upper arm 0.186, forearm 0.146, foot 0.152. One set serves both sexes.
"""

from typing import Final

SHOULDER_HEIGHT: Final = 0.818
LENGTHS: Final[dict[str, float]] = {
    "trunk": 0.818 - 0.530,
    "upper_arm": 0.186,
    "forearm": 0.146,
    "thigh": 0.530 - 0.285,
    "shank": 0.285 - 0.039,
    "sole": 0.039,
    "foot": 0.152,
    "head": 0.930 - SHOULDER_HEIGHT,
    "hand": 0.0495,
}
"""`head`: shoulders to the head's centre, which de Leva (1996) puts 121.5 mm below the crown of a man of 1741 mm; `hand`:
wrist to third knuckle, 86.2 mm of the same man (both from memory). `sole`: from the ankle straight down to the floor."""

HEEL: Final = 0.25
"""Where the ankle lies over the foot, as a share of the foot's length from the heel (common practice, no source)."""
BALL: Final = 0.73
"""Where the ball lies, likewise: the joints of the toes, on which a foot on its toes bears (common practice)."""
MIDDLE: Final = 0.50
"""Where a flat foot bears, likewise: its middle, with the balance to either side."""

CONTACTS: Final[dict[str, float]] = {"palm": 0.02, "wrist": 0.02, "grip": 0.045}
"""A flat hand bears on its heel: `palm` ahead of the wrist joint, which is `wrist` over the floor. A closed one holds its
grip `grip` beyond the wrist. Shares of height, judged from hands (common practice, no source)."""
FOREARM: Final = 0.25
"""Where a forearm on the floor bears: share of its length from the elbow (common practice, no source)."""
KNEE: Final = 0.033
"""From the middle of the knee to the floor under it when kneeling (see `models.movements.standard.KNEE_TOP`)."""
CHEST: Final = 0.30
"""Where a vest, a plate on the back or a band round the chest acts: share of the trunk from shoulders to hips."""

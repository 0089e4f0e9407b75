"""How to bring an angle back within its limits, in the fewest words."""

from typing import Final

from models.advice.case import Case

UPPER: Final = {"body": "shoulders", "trunk": "shoulders", "legs": "hips"}
LOWER: Final = {"trunk": "hips", "legs": "feet"}
LINE_ENDS: Final = {"ankles-shoulders": "feet", "knees-shoulders": "knees", "hips-shoulders": "hips"}


def called(angle: str) -> str:
    """An angle's name as a sentence begins with it."""
    names = {"body": "The body angle", "legs": "The angle of the legs", "reach": "The height of the shoulders"}
    return names.get(angle, f"The {angle}")


def angle_cue(case: Case, angle: str) -> str:
    """What to do about an angle that is too small or too large, and by how many degrees."""
    degrees = f"{max(1.0, case.gap):.0f} degrees"
    if angle == "reach":
        return f"take the shoulders {'higher' if case.too_low else 'less high'} over the hands, by {max(1.0, case.gap):.0f} % of the arm"
    if angle == "lean":
        return f"lean {degrees} {'further towards' if case.too_low else 'less towards'} the belly's side"
    if angle in UPPER:
        lower = LOWER.get(angle) or LINE_ENDS[case.movement.line]
        return f"bring the {UPPER[angle]} {'up' if case.too_low else 'down'} against the {lower}, by {degrees}"
    if angle == "shoulder":
        return f"take the arms {degrees} {'further from' if case.too_low else 'closer to'} the trunk"
    if not case.too_low:
        return f"straighten the {angle} by {degrees} more"
    if (case.limit.low or 0) > 0:
        return f"bend the {angle} by {degrees} more"
    return f"bring the {angle} back towards straight by {degrees}"

"""A standard: how far a named body point lies from what it is meant to reach, at one end of a rep.

The value is a signed distance in % of the athlete's standing height (barefoot), positive when the point has reached or
passed. `vision.standards` measures it and a truth file states it, both from the definitions here.

**Body points.** Points of both sides stand for the middle between left and right; where one limb alone works (a
single-leg squat), for that limb. The front is the side on which the belly lies. The front of the trunk looks square to
the line from mid-hips to mid-shoulders, that of the thigh square to the line from hip to knee (the kneecap's side),
both in the plane in which the body moves.

- `head`: the point of the skull, hair left out, that is nearest to what it is measured from.
- `chin`: the lowest point of the chin in the middle (menton), the head upright.
- `chest`: the front of the trunk in the middle, from the level of the shoulder joints down to the lower end of the
  breastbone (xiphion): its point nearest to what it is measured from; `above` and `below` take the lower end.
- `hip_crease`: the fold between trunk and thigh, `HIP_CREASE` of height from the hip joint's centre, halfway between
  the fronts of trunk and thigh.
- `knee_top`: the upper edge of the kneecap, `KNEE_TOP` of height from the knee joint's centre, where the line from the
  ankle's centre through the knee's, prolonged, comes to.
- `shoulder`, `elbow`, `hip`, `knee`, `ankle`: the centre of the joint.

**What they are measured from.** Another body point at the same moment, or a support, where it is at that moment (one
that stays where it is may be found over the whole set):

- `grip`: the line through the middle of both closed hands: the axis of the bar, the handles or the rings' tubes.
- `palms`: the level plane on which the open hands press (floor, bench, boxes); of closed hands on bars, the level plane
  through the grip line.
- `soles`: the level plane under the feet that bear the load.

**Ways**, with positive meaning reached:

- `above`: height of the point over the reference, along gravity.
- `below`: depth of the point under the reference, along gravity.
- `touching`: minus the gap between the two. From a plane: minus the point's height above it. From the grip line: minus
  its distance from the trunk's front, square to the trunk where the line lies opposite the chest, else to the nearer
  end of the chest; positive where the line would lie inside. Only `chest` can touch a grip line.

What coaches call lockout or a full hang is an angle, and is asked for by a limit on the angle at the straight end.
"""

from typing import Annotated, Final, Literal, Self, get_args

from pydantic import AfterValidator, Field, model_validator

from models.movements.entry import Entry

BodyPoint = Literal["head", "chin", "chest", "hip_crease", "knee_top", "shoulder", "elbow", "hip", "knee", "ankle"]
Support = Literal["grip", "palms", "soles"]
Way = Literal["above", "below", "touching"]
End = Literal["straight", "bent"]

HIP_CREASE: Final = 0.050
"""Share of height from the hip joint's centre to the crease (judgement): sitting, it then lies .035 of height above the
joint, well inside the thigh's thickness there of .096 (ANSUR, Gordon et al. 1989: thigh clearance; from memory)."""
KNEE_TOP: Final = 0.033
"""Share of height from the knee joint's centre to the top of the kneecap: knee height sitting, .318 of height (ANSUR,
Gordon et al. 1989; from memory), less that of the joint, .285 (Drillis & Contini 1966)."""


class StandardEntry(Entry):
    """One standard of a movement: `point`, the `way` in which it is meant to reach, and `reference`, at one `end`."""

    name: Annotated[str, Field(pattern=r"^[a-z]+(-[a-z]+)*$")]
    """The name under which the document and a prescription's limits know it, as `chin-over-bar`."""
    title: Annotated[str, Field(min_length=1)]
    """What it is called in front of people, as "Chin over bar"."""
    point: BodyPoint
    way: Way
    reference: Support | BodyPoint
    end: End
    """The rep's end at which it is measured: where the driving angle is small (straight) or large (bent)."""

    @model_validator(mode="after")
    def _makes_sense(self) -> Self:
        if self.reference == self.point:
            raise ValueError(f"{self.name}: a point is not measured from itself")
        if self.reference in ("head", "chest"):
            raise ValueError(f"{self.name}: {self.reference} is not one place; measure from it is not possible")
        if self.way == "touching":
            self._can_touch()
        return self

    def _can_touch(self) -> None:
        if self.reference not in get_args(Support):
            raise ValueError(f"{self.name}: only grip, palms or soles can be touched, not {self.reference}")
        if self.reference == "grip" and self.point != "chest":
            raise ValueError(f"{self.name}: only the chest can touch the grip line; write above or below")


def _told_apart(entries: tuple[StandardEntry, ...]) -> tuple[StandardEntry, ...]:
    names = [entry.name for entry in entries]
    if len(set(names)) < len(names):
        raise ValueError("two standards have the same name")
    return entries


Standards = Annotated[tuple[StandardEntry, ...], AfterValidator(_told_apart)]

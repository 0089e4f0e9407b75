"""What a movement asks of the body: which limbs bear it, in which posture, and what limits it.

This is the type of a catalogue file's `[demand]` section and of a variant's `[variants.NAME.demand]`, which writes only
what it changes. `models.body` computes loads and moments from it. How to fill it:

```toml
[demand]
belly = "down"                      # push-up; row "up"; upright and inverted "forward"; flag "aside"
hands = "floor"                     # none, floor, forearms, bar (hung from), straps (ropes and rings hung from)
feet = "toes"                       # none, toes, heels, flat, knees
hard = "bent"                       # the posture that decides: straight, bent or held
limit = "hands"                     # what ranks the variants: hands, or the moment at a joint
straight = { shoulder = 70 }
bent = { elbow = 90 }

[variants.knees.demand]
feet = "knees"
```

Postures name goniometric angles of the joints, as the document does, and `trunk`, the trunk's angle to the floor. What
is left out is 0, except `trunk` and `shoulder`: left out, they are **found** from where the body rests (a variant that
wants one found which its movement writes says `trunk = "found"`).

- Hands and feet both bear (`feet` is not `none`): leave out `trunk`; it follows from the heights of hands and feet, so a
  raise of either turns the body as it does in the gym. `shoulder` left out at the straight end means arms in line with
  the support's push or pull: plumb over the floor or under a bar, relaxed along the strap to its anchor. Written, it says
  where the hands are: 70 to 90 (arms about square to the body) lets a raise of hands or feet change the load, while plumb
  arms bear about the same at every angle. A bar then pulls along the straight arms. At the bent end both are left out:
  hands and feet stay where they were at the straight end. That is the right choice for push-ups and rows.
- Hands alone bear: the body hangs or balances, its centre of mass in line with the hands. Leave out one of `trunk` and
  `shoulder` (lever, planche, pull-up: leave out `shoulder`; handstand and dead hang: write `shoulder`, leave out
  `trunk`). A human flag (`belly = "aside"`) balances nothing; write `trunk`.
- Feet alone bear (squat): leave out `trunk`, with `shoulder` written; the centre of mass comes over the middle of the foot.

Reps have `straight` and `bent`, holds have `held`, a movement that is done as both has all three. `hard` names the
one by which variants are ranked. `limit` is `hands` where scaling changes the share of body weight that the hands bear
(push-up, row, pull-up, dip), and the joint whose moment grows where that share is always the same (levers, planches,
flags: `shoulder`; L-sit: `hip`; squat: `knee`; handstand push-up: `elbow` or `shoulder`).
"""

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from models.movements.entry import Entry

Belly = Literal["down", "up", "forward", "aside"]
"""Which way the belly faces. `forward` is for upright and inverted trunks and means the same as `down` for one that is
tilted: leaning forward. A tilted trunk that leans back has its belly `up`. `aside`: toward the lens, as in a flag."""
HandSupport = Literal["none", "floor", "forearms", "bar", "straps"]
"""`floor`: anything pressed down on: floor, boxes, bars, and rings too, which hang plumb under a press. `forearms`: the
same, on elbows and forearms. `bar`: what one hangs from and what stays where it is. `straps`: straps, ropes and rings
that one hangs from, whose pull lies along them."""
FootSupport = Literal["none", "toes", "heels", "flat", "knees"]
End = Literal["straight", "bent", "held"]
Joint = Literal["shoulder", "elbow", "hip", "knee"]
LimitedBy = Literal["hands", "shoulder", "elbow", "hip", "knee"]
Degrees = Annotated[float, Field(ge=-180, le=180)]


def _found(value: object) -> object:
    return None if value == "found" else value


Found = BeforeValidator(_found, json_schema_input_type=Degrees | Literal["found"])
"""Lets a variant give back an angle to be found."""


class OtherLeg(Entry):
    """The leg that does otherwise: tucked in a one-leg lever, held ahead in a single-leg squat. It bears nothing."""

    hip: Degrees
    knee: Degrees = 0


class Pose(Entry):
    """A posture in the plane in which the body moves, degrees. `trunk` and `shoulder` left out are found, see above."""

    trunk: Annotated[Annotated[float, Field(ge=-90, le=90)] | None, Found] = None
    """Trunk (hips-shoulders) to the floor, positive with the shoulders higher; -90 is upside down."""
    shoulder: Annotated[Degrees | None, Found] = None
    """Upper arm from the trunk: 0 beside it, 90 straight ahead, 180 overhead, negative behind the back (back lever)."""
    elbow: Degrees = 0
    hip: Degrees = 0
    knee: Degrees = 0
    apart: Annotated[float, Field(ge=0, le=85)] = 0
    """Straddle: each leg's angle from the middle. A usual one is about 40 (common practice, no source)."""
    other_leg: OtherLeg | None = None

    def changed(self, by: "Pose") -> "Pose":
        """This posture with the angles that `by` writes in place of its own."""
        return self.model_copy(update={name: getattr(by, name) for name in by.model_fields_set})


class Anchor(Entry):
    """Where straps hang from, as shares of the athlete's height.

    `up` is the height over the floor (not over a box under the feet), `ahead` the distance along the floor from the feet,
    toward the head. A usual ring hangs about 1.3 heights up (common practice, no source).
    """

    up: Annotated[float, Field(gt=0, le=5)] = 1.3
    ahead: Annotated[float, Field(ge=-3, le=3)] = 0.0


class DemandChange(Entry):
    """What a variant changes; a posture's angles are changed one by one. What it does not write stays as it is."""

    belly: Belly | None = None
    hands: HandSupport | None = None
    feet: FootSupport | None = None
    hands_raised: float | None = None
    feet_raised: float | None = None
    anchor: Anchor | None = None
    hard: End | None = None
    limit: LimitedBy | None = None
    straight: Pose | None = None
    bent: Pose | None = None
    held: Pose | None = None


class DemandEntry(Entry):
    """What a movement asks of the body; see the top of this module for how to fill it."""

    belly: Belly
    hands: HandSupport
    feet: FootSupport
    hands_raised: Annotated[float, Field(ge=0, le=3)] = 0.0
    """Metres that the hands stand over the floor, as a variant is usually done; a prescription may write its own."""
    feet_raised: Annotated[float, Field(ge=0, le=3)] = 0.0
    anchor: Anchor = Anchor()
    """Only for straps with the feet on the floor."""
    hard: End
    limit: LimitedBy
    straight: Pose | None = None
    bent: Pose | None = None
    held: Pose | None = None

    def pose(self, end: End | None = None) -> Pose:
        """The posture at an end of the rep or in the hold; the hard one if none is named.

        Raises:
            KeyError: the movement has no such posture.
        """
        end = end or self.hard
        pose = {"straight": self.straight, "bent": self.bent, "held": self.held}[end]
        if pose is None:
            raise KeyError(end)
        return pose

    @property
    def ends(self) -> tuple[End, ...]:
        """The postures that it has, the hard one first."""
        all_ends: tuple[End, ...] = ("straight", "bent", "held")
        return (self.hard, *(end for end in all_ends if end != self.hard and getattr(self, end) is not None))

    def changed(self, by: DemandChange | None) -> "DemandEntry":
        """This demand as a variant changes it.

        Raises:
            pydantic.ValidationError: what comes out makes no sense.
        """
        if by is None:
            return self
        written = {name: getattr(by, name) for name in by.model_fields_set}
        for end in ("straight", "bent", "held"):
            own: Pose | None = getattr(self, end)
            if end in written and own is not None:
                written[end] = own.changed(written[end])
        return DemandEntry.model_validate(
            {**{name: getattr(self, name) for name in type(self).model_fields}, **written}
        )

    @model_validator(mode="after")
    def _makes_sense(self) -> Self:
        if getattr(self, self.hard) is None:
            raise ValueError(f"demand.hard names the posture {self.hard!r}, which is not written")
        if self.hands == "none" and self.feet == "none":
            raise ValueError("demand: neither hands nor feet bear the body; name one")
        if self.hands == "none" and self.limit in ("hands", "shoulder", "elbow"):
            raise ValueError(f"demand.limit: the arms bear nothing, so {self.limit} limits nothing")
        for end in self.ends:
            self._check_pose(end, self.pose(end))
        return self

    def _check_pose(self, end: End, pose: Pose) -> None:
        if (self.hands == "none" or self.feet == "none") and pose.trunk is None and pose.shoulder is None:
            raise ValueError(f"demand.{end}: write trunk or shoulder; only one of them follows from the balance")
        if self.hands == "none" and pose.shoulder is None:
            raise ValueError(f"demand.{end}: write shoulder; nothing holds the arms")
        if self.belly == "aside" and pose.trunk is None:
            raise ValueError(f"demand.{end}: write trunk; a flag does not balance over its hands")

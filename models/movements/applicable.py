"""Which of the six scalings suit a movement, and how: the type of a catalogue file's `[scalings]` section.

How to fill a catalogue's section; what is left out does not apply:

```toml
[scalings]
assistance = ["band", "partner"]    # how one helps
help_at = ["feet", "hips"]          # where a band or a partner takes hold; the usual place first
lowering_only = true
load_at = ["belt", "vest"]          # where added load hangs; the usual place first
hold = true                         # a still hold at a point of its range, or of its own posture
hold_at = [120, 90]                 # at which points: degrees of the driving angle; none: of its own posture
leverage = ["body", "hands_raised", "feet_raised"]
levers = ["tuck", "advanced-tuck", "one-leg", "straddle", "full"]   # each the name of a variant, the easiest first
stability = ["bars", "rings"]       # the firmest first
usual = "bars"                      # the one it is done on where nothing else is said

[scalings.how]                      # each in words
assistance = "A band over the bar, under the feet; or a partner's hands at the hips."
```
"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from models.movements.entry import Entry
from models.scaling import HelpAt, Lever, Leveraged, LoadAt, Place, ScalingName


class Applicable(Entry):
    """Which scalings suit a movement, and how: a catalogue file's `[scalings]`; see the top of this module."""

    assistance: tuple[Literal["band", "partner"], ...] = ()
    help_at: tuple[HelpAt, ...] = ()
    lowering_only: bool = False
    load_at: tuple[LoadAt, ...] = ()
    hold: bool = False
    hold_at: tuple[float, ...] = ()
    leverage: tuple[Leveraged, ...] = ()
    levers: tuple[Lever, ...] = ()
    stability: tuple[Place, ...] = ()
    usual: Place | None = None
    how: dict[ScalingName, Annotated[str, Field(min_length=3)]] = Field(default_factory=dict)

    @property
    def names(self) -> tuple[ScalingName, ...]:
        """Names of the scalings that apply, in the order of the design."""
        applies: dict[ScalingName, bool] = {
            "assistance": bool(self.assistance),
            "lowering_only": self.lowering_only,
            "load": bool(self.load_at),
            "hold": self.hold,
            "leverage": bool(self.leverage or self.levers),
            "stability": bool(self.stability),
        }
        return tuple(name for name, is_so in applies.items() if is_so)

    @model_validator(mode="after")
    def _help_somewhere(self) -> Self:
        if bool(self.assistance) != bool(self.help_at):
            raise ValueError("scalings: assistance and help_at go together; write both or neither")
        return self

    @model_validator(mode="after")
    def _says_what_applies(self) -> Self:
        if self.hold_at and not self.hold:
            raise ValueError("scalings.hold_at names points of a hold; write hold = true, or remove it")
        if self.stability and self.usual not in self.stability:
            raise ValueError(f"scalings.usual should be one of the supports in stability: {', '.join(self.stability)}")
        return self

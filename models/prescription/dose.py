"""How much of a variant is to be done, how fast and within which limits."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from models.faults import Contradiction
from models.limit import Limit, Strict
from models.limits import HOLD_PARTS, REP_PARTS, Limits
from models.tempo import EXAMPLE, WrittenTempo, hold_limit

AFTER_LOWERING = ("bottom_pause", "raising", "top_pause", "raising_phases")


class Dose(Strict):
    """Sets of reps, or sets of one hold each (`hold`, seconds), within limits.

    With `lowering_only` the raising and the pauses beside it are not checked.

    Raises:
        pydantic.ValidationError: it contradicts itself.
    """

    sets: Annotated[int, Field(ge=1, le=100)] = 1
    reps: Annotated[int, Field(ge=1, le=1000)] | None = None
    hold: Annotated[float, Field(ge=1, le=3600)] | None = None
    tempo: WrittenTempo | None = None
    lowering_only: bool = False
    limits: Limits = Limits()

    def rep_limits(self) -> dict[str, Limit]:
        """Limits of each rep by name: the tempo's own, and over them those written."""
        limits = (self.tempo.limits() if self.tempo else {}) | self.limits.by_name(REP_PARTS)
        skipped = AFTER_LOWERING if self.lowering_only else ()
        return {name: limit for name, limit in limits.items() if name.partition(".")[0] not in skipped}

    def hold_limits(self) -> dict[str, Limit]:
        """Limits of each hold by name: the dose, and over it those written."""
        dose = {} if self.hold is None else {"in_position": hold_limit(self.hold)}
        return dose | self.limits.by_name(HOLD_PARTS)

    def as_fast_as_possible(self) -> tuple[str, ...]:
        """Parts of a rep that are written X and have no limit of their own."""
        asked = self.tempo.asked() if self.tempo else {}
        limits = self.rep_limits()
        skipped = AFTER_LOWERING if self.lowering_only else ()
        return tuple(
            part for part, digit in asked.items() if digit == "X" and part not in limits and part not in skipped
        )

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        self._check_amount()
        self._check_lowering_only()
        self._check_tempo()
        return self

    def _check_amount(self) -> None:
        if self.reps is None and self.hold is None:
            raise ValueError("no dose is given; write either reps = 8, or hold = 10 (seconds)")
        if self.reps is not None and self.hold is not None:
            raise Contradiction("hold", "both reps and hold are given; write either reps = 8, or hold = 10 (seconds)")
        foreign, kind = (HOLD_PARTS, "reps") if self.hold is None else (REP_PARTS, "a hold")
        for name in self.limits.by_name(foreign):
            raise Contradiction(f"limits.{name}", f"limits.{name} has no meaning for {kind}; remove it")
        if self.hold is None:
            return
        if (limit := self.limits.in_position) and not limit.admits(self.hold):
            why = f"limits.in_position ({limit}) excludes the hold of {self.hold:g} s; change one of them"
            raise Contradiction("limits.in_position", why)
        if self.tempo is not None or self.lowering_only:
            other = "tempo" if self.tempo else "lowering_only"
            raise Contradiction(other, f"both hold and {other} are given; remove one of them")

    def _check_lowering_only(self) -> None:
        for name in self.limits.by_name(AFTER_LOWERING) if self.lowering_only else ():
            why = f"limits.{name} is not checked when lowering_only is true; remove one of them"
            raise Contradiction(f"limits.{name}", why)

    def _check_tempo(self) -> None:
        if self.tempo is None:
            return
        if self.tempo.lowering == 0 or (self.tempo.raising == 0 and not self.lowering_only):
            why = "tempo: a stroke cannot take 0 s; write X for one that is as fast as possible"
            raise Contradiction("tempo", why)
        if self.tempo.raising is None and not self.lowering_only:
            why = f"tempo: one place, not four; write it as {EXAMPLE}, or add lowering_only = true"
            raise Contradiction("tempo", why)
        for part, digit in self.tempo.asked().items():
            limit: Limit | None = getattr(self.limits, part)
            if limit and not isinstance(digit, str) and not limit.admits(digit):
                why = f"limits.{part} ({limit}) excludes the {digit:g} s of the tempo; change one of them"
                raise Contradiction(f"limits.{part}", why)

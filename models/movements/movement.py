"""What a movement is: all that one file of the catalogue says."""

from typing import Annotated, Final, Literal, Self, get_args

from pydantic import Field, ValidationError, model_validator

from models.errors import MovementError
from models.faults import Contradiction
from models.limits import Limits
from models.movements.applicable import Applicable
from models.movements.demand import DemandEntry
from models.movements.entry import Angle, Band, Entry, Line, Plane
from models.movements.hold import InPosition, StillHold
from models.movements.reps import Reps
from models.movements.standard import Standards
from models.movements.variant import Variant, with_changes
from models.movements.views import View, ViewEntry
from models.scaling import ScalingName
from models.suggest import did_you_mean

Group = Literal["push", "pull", "legs", "levers", "balance", "trunk"]

NAME: Final = r"^[a-z0-9]+(-[a-z0-9]+)*$"
"""What a movement can be called."""

Saying = Annotated[str, Field(min_length=3)]


class Movement(Entry):
    """One movement of the catalogue. Every movement can be held, if only at a point of its range.

    `asked` holds the limits that are usually asked of a good rep or hold, under the names that a prescription gives
    them. They are offered, never checked unasked: common practice, no source. The first of `views` is the one that the
    movement is measured from. Without `demand` nothing can be said of what it asks of the body. Variants stand in the
    order of what they ask, the lightest first; those of another support come last. `looks_like` names the movement that
    no view tells from this one; it is the one that is suggested for a clip.
    """

    name: Annotated[str, Field(pattern=NAME)]
    title: Annotated[str, Field(min_length=1)]
    group: Group
    looks_like: Annotated[str, Field(pattern=NAME)] | None = None
    plane: Plane = "sagittal"
    line: Line
    tilt: Literal["body", "lean"]
    usual: Literal["reps", "hold"]
    reps: Reps | None = None
    hold: StillHold
    position: InPosition
    asked: Limits = Limits()
    standards: Standards = ()
    scalings: Applicable = Applicable()
    demand: DemandEntry | None = None
    views: Annotated[dict[View, ViewEntry], Field(min_length=1)]
    faults: Annotated[tuple[Saying, ...], Field(min_length=1)]
    cautions: Annotated[tuple[Saying, ...], Field(min_length=1)]
    variants: dict[str, Variant] = Field(default_factory=dict)

    @property
    def measured_from(self) -> View:
        """The view that shows the body's angles."""
        return next(iter(self.views))

    @property
    def not_measured(self) -> tuple[str, ...]:
        """What cannot be seen from the view that the movement is measured from."""
        return self.hidden_from(self.measured_from)

    def hidden_from(self, view: View) -> tuple[str, ...]:
        """What cannot be seen from a view; of one that the movement does not name, as of the one it is measured from."""
        return self.views.get(view, self.views[self.measured_from]).cannot_show

    @property
    def suiting(self) -> tuple[ScalingName, ...]:
        """The scalings that suit it, in the order of the design: those that it lists, and those of its variants."""
        own = {*self.scalings.names, *(variant.scaling for variant in self.variants.values())}
        return tuple(name for name in get_args(ScalingName) if name in own)

    def as_variant(self, name: str | None) -> "Movement":
        """This movement, measured as one of its variants is; None leaves it as it is.

        Raises:
            MovementError: the movement has no such variant.
        """
        if name is None:
            return self
        if name not in self.variants:
            known = ", ".join(self.variants) or "none"
            hint = did_you_mean(name, self.variants)
            raise MovementError(f"{self.name} has no variant {name!r}{hint} (known: {known})")
        variant = self.variants[name]
        reps = self.reps
        if reps is not None and variant.range is not None:
            reps = reps.model_copy(update={"straight": variant.range.low, "bent": variant.range.high})
        changes = {
            "line": variant.line or self.line,
            "reps": reps,
            "hold": self.hold.model_copy(update={"posture": {**self.hold.posture, **variant.posture}}),
            "asked": with_changes(self.asked, variant.asked),
            "demand": self.demand.changed(variant.demand) if self.demand else None,
        }
        return self.model_copy(update=changes)

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.usual == "reps" and self.reps is None:
            raise Contradiction("usual", 'usual = "reps", but there is no [reps]; write one, or usual = "hold"')
        if self.scalings.lowering_only and self.reps is None:
            raise Contradiction("scalings.lowering_only", "scalings.lowering_only: there is no [reps] to lower in")
        self._check_tilt()
        self._check_view()
        self._check_variants()
        self._check_scalings()
        return self

    def _check_tilt(self) -> None:
        other = "lean" if self.tilt == "body" else "body"
        driving = [self.reps.driving] if self.reps else []
        named = [*self.hold.still, *self.hold.posture, *driving]
        named += [angle for variant in self.variants.values() for angle in variant.posture]
        if other in named:
            why = f'tilt = "{self.tilt}", but {other} is named; a movement has body or lean, never both'
            raise Contradiction("tilt", why)

    def _check_view(self) -> None:
        seen = ("side",) if self.plane == "sagittal" else ("front", "back")
        if self.measured_from not in seen:
            why = f"views: the first must be {' or '.join(seen)}, which shows the {self.plane} plane"
            raise Contradiction(f"views.{self.measured_from}", why)

    def _check_variants(self) -> None:
        for name, variant in self.variants.items():
            key = f"variants.{name}"
            if variant.demand is not None and self.demand is None:
                raise Contradiction(f"{key}.demand", f"{key}.demand changes a demand that the movement does not have")
            if variant.range is not None and self.reps is None:
                raise Contradiction(f"{key}.range", f"{key}.range: the movement has no reps")
            if variant.support is not None and variant.support not in self.scalings.stability:
                why = f"{key}.support: {variant.support} is not among scalings.stability"
                raise Contradiction(f"{key}.support", why)
            try:
                self.as_variant(name)
            except ValidationError as fault:
                raise Contradiction(f"{key}.demand", f"{key}.demand: {fault.errors()[0]['msg']}") from fault

    def _check_scalings(self) -> None:
        for lever in self.scalings.levers:
            if lever not in self.variants:
                raise Contradiction("scalings.levers", f"scalings.levers: there is no variant {lever!r}")
        for name in self.scalings.how:
            if name not in self.suiting:
                why = f"scalings.how.{name}: neither [scalings] nor a variant says that it suits"
                raise Contradiction(f"scalings.how.{name}", why)


__all__ = ["Angle", "Band", "Line", "Movement", "Reps", "StillHold", "Variant"]

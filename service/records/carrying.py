"""What coaches decided of a clip outlasts its being measured again: a coach saw the clip, not the machine's boundaries."""

from collections.abc import Sequence
from contextlib import suppress
from typing import NamedTuple

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from models.document import Document, Hold, Rep
from models.errors import CorrectionError
from models.moved import moved
from service.records.results import Effort, Kind, Measurement, SetRow
from service.records.review import Correction, RulingWord


class Stretch(NamedTuple):
    """Where in a clip a rep or a hold lies."""

    kind: Kind
    start: float
    end: float

    def same(self, other: "Stretch") -> bool:
        """Whether two measurings mean the same: both share more than half of the longer one, which no two of one can."""
        shared = min(self.end, other.end) - max(self.start, other.start)
        return self.kind == other.kind and shared > max(self.end - self.start, other.end - other.start) / 2


def stretch_of(found: Rep | Hold | Effort) -> Stretch:
    """The stretch of a rep or a hold."""
    kind: Kind = found.kind if isinstance(found, Effort) else "rep" if isinstance(found, Rep) else "hold"
    return Stretch(kind, found.start, found.end)


class Ruled(NamedTuple):
    """A stretch that a coach has ruled on."""

    stretch: Stretch
    ruling: RulingWord


class Corrected(NamedTuple):
    """A stretch of which a coach has moved boundaries."""

    stretch: Stretch
    correction: Correction


def ruled_before(session: Session, clip_id: str, version_id: str | None) -> list[Ruled]:
    """What was ruled on in a clip under the same prescription, the newest first; under another it can be ruled otherwise."""
    asked = (
        _judged_by(version_id)
        .where(Effort.clip_id == clip_id, Effort.ruling.is_not(None))
        .order_by(Effort.changed.desc(), Effort.id.desc())
    )
    return [Ruled(stretch_of(effort), effort.ruling) for effort in session.scalars(asked) if effort.ruling]


def alike(session: Session, effort: Effort) -> list[Effort]:
    """The same rep or hold in every measurement of its clip under the same prescription: itself, and whom its ruling went to."""
    version_id = session.scalar(
        select(Measurement.prescription_version_id)
        .join(SetRow, SetRow.measurement_id == Measurement.id)
        .where(SetRow.id == effort.set_id)
    )
    asked = _judged_by(version_id).where(Effort.clip_id == effort.clip_id)
    others = (each for each in session.scalars(asked) if each.id != effort.id)
    return [effort, *(each for each in others if stretch_of(each).same(stretch_of(effort)))]


def _judged_by(version_id: str | None) -> Select[Effort]:
    return (
        select(Effort)
        .join(SetRow, Effort.set_id == SetRow.id)
        .join(Measurement, SetRow.measurement_id == Measurement.id)
        .where(Measurement.prescription_version_id.is_not_distinct_from(version_id))
    )


def corrected_before(session: Session, clip_id: str) -> list[Corrected]:
    """What was corrected in a clip, the newest first."""
    asked = (
        select(Effort, Correction)
        .join(Correction, Correction.effort_id == Effort.id)
        .where(Effort.clip_id == clip_id)
        .order_by(Correction.made.desc(), Correction.id.desc())
    )
    return [Corrected(stretch_of(effort), correction) for effort, correction in session.execute(asked)]


def corrections_of(session: Session, effort: Effort) -> Sequence[Correction]:
    """The corrections of one effort, the newest first."""
    of_it = select(Correction).where(Correction.effort_id == effort.id)
    return session.scalars(of_it.order_by(Correction.made.desc(), Correction.id.desc())).all()


def ruling_of(found: Rep | Hold, ruled: Sequence[Ruled]) -> RulingWord | None:
    """What was ruled on the same rep or hold when the clip was measured before; a coach is not asked twice."""
    stretch = stretch_of(found)
    return next((each.ruling for each in ruled if each.stretch.same(stretch)), None)


def carry_correction(
    session: Session, document: Document, rep: Rep, effort: Effort, corrected: Sequence[Corrected]
) -> None:
    """Give a new effort the boundaries that a coach put, and what follows from them with the strokes as measured now.

    Not where these strokes no longer allow it: what was put was put beside other ones.
    """
    stretch = stretch_of(rep)
    before = next((each.correction for each in corrected if each.stretch.same(stretch)), None)
    if before is not None:
        with suppress(CorrectionError):
            made = _anew(rep, effort, document, before)
            effort.corrected = made.measured
            session.add(made)


def _anew(rep: Rep, effort: Effort, document: Document, before: Correction) -> Correction:
    measured = moved(rep, before.boundaries, document.clip.seconds / max(document.clip.frames, 1))  # type: ignore[arg-type]
    return Correction(
        gym_id=before.gym_id,
        effort_id=effort.id,
        boundaries=before.boundaries,
        measured={name: value.model_dump(mode="json") for name, value in measured.items()},
        coach_id=before.coach_id,
        made=before.made,
    )

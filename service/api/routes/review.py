"""Review: what needs a person, and what the person decided."""

from fastapi import Response
from sqlalchemy import select

from models.document import Document
from models.moved import moved
from service.access.audit import audit
from service.access.decide import Resource
from service.api.agreeing import agreements
from service.api.deps import Actor, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.queue import to_review
from service.api.route import router
from service.api.routes.results import Number
from service.api.sampling import CHANCE, is_blind
from service.api.shapes.results import CorrectionGiven, RulingGiven
from service.api.shapes.review import Agreements, NewCorrection, NewRuling, SetToReview
from service.hooks.announce import announce
from service.records import Clip, Effort, Measurement, Ruling, SetRow
from service.records.ruling import correct, rule, take_back

review = router("review")


@review.get("/review")
def list_review(session: Session, actor: Actor, after: After = None, limit: Limit = 50) -> Page[SetToReview]:
    """What needs a person, set by set: the unsure first, then the oldest.

    One in twenty of the reps that were met comes up too. Those, and every fourth of the others, come without verdict and
    checks (`blind`) until they are ruled on: from these rulings agreement is told.
    """
    require(actor, "rule", Resource("ruling", actor.gym_id))
    assert actor.gym_id is not None
    return to_review(session, actor, actor.gym_id, after, limit)


@review.get("/clips/{clip_id}/rulings")
def list_rulings(
    clip_id: str, session: Session, actor: Actor, after: After = None, limit: Limit = 50
) -> Page[RulingGiven]:
    """All rulings on a clip, the newest first."""
    clip = fetch(session, Clip, clip_id, actor, "read", "clip")
    require(actor, "read", Resource("ruling", clip.gym_id, clip.athlete_id, clip.id))
    query = select(Ruling).where(Ruling.clip_id == clip.id)
    return page(session, query, (Ruling.made, Ruling.id), after, limit, RulingGiven.model_validate, newest_first=True)


@review.post("/clips/{clip_id}/rulings", status_code=201)
def add_ruling(clip_id: str, asked: NewRuling, session: Session, actor: Actor, response: Response) -> RulingGiven:
    """Rule on a rep or a hold, on a rep that the machine did not see, or have the set filmed again."""
    clip = fetch(session, Clip, clip_id, actor, "read", "clip")
    require(actor, "rule", Resource("ruling", clip.gym_id, clip.athlete_id, clip.id))
    assert actor.person_id is not None  # only people rule
    effort = None if asked.effort is None else session.get(Effort, asked.effort)
    blind = effort is not None and effort.clip_id == clip.id and is_blind(effort)
    row = rule(
        session,
        clip,
        asked.ruling,
        coach_id=actor.person_id,
        effort_id=asked.effort,
        stretch=None if asked.start is None or asked.end is None else (asked.start, asked.end),
        note=asked.note,
        blind=blind,
        chance=CHANCE[effort.verdict] if blind and effort is not None and effort.verdict is not None else 1.0,
    )
    told = {"clip": clip.id, "athlete": clip.athlete_id, "effort": row.effort_id, "ruling": row.ruling}
    announce(session, clip.gym_id, "effort.ruled", told)
    audit(session, actor, "created", resource_of(row, "ruling"), {"text": row.ruling})
    response.headers["Location"] = f"/api/v1/clips/{clip.id}/rulings"
    return RulingGiven.model_validate(row)


@review.delete("/rulings/{ruling_id}", status_code=204)
def delete_ruling(ruling_id: str, session: Session, actor: Actor) -> None:
    """Take back a ruling that was a slip; the one before it counts again. One that was given blindly stays."""
    row = fetch(session, Ruling, ruling_id, actor, "rule", "ruling")
    word, gone = row.ruling, resource_of(row, "ruling")
    clip = session.get_one(Clip, row.clip_id)
    effort = None if row.effort_id is None else session.get(Effort, row.effort_id)
    take_back(session, row)
    counts = effort.ruling if effort else None
    told = {"clip": clip.id, "athlete": clip.athlete_id, "effort": effort.id if effort else None, "ruling": counts}
    announce(session, clip.gym_id, "effort.ruled", told)
    audit(session, actor, "deleted", gone, {"text": word})


@review.post("/efforts/{effort_id}/corrections", status_code=201)
def add_correction(
    effort_id: Number, asked: NewCorrection, session: Session, actor: Actor, response: Response
) -> CorrectionGiven:
    """Move where a stroke begins or ends; the durations that follow are kept beside the machine's."""
    effort = fetch(session, Effort, effort_id, actor, "read", "result")
    require(actor, "rule", Resource("ruling", effort.gym_id, effort.athlete_id, str(effort.id)))
    assert actor.person_id is not None
    if effort.kind != "rep":
        raise Problem("conflict", "a hold has no strokes; rule on it instead")
    row, made = session.execute(
        select(SetRow, Measurement)
        .join(Measurement, Measurement.id == SetRow.measurement_id)
        .where(SetRow.id == effort.set_id)
    ).one()
    document = Document.model_validate_json(made.document)
    rep = next(rep for each in document.sets if each.n == row.n for rep in each.reps if rep.n == effort.n)
    measured = moved(rep, asked.boundaries, document.clip.seconds / max(document.clip.frames, 1))
    clip = session.get_one(Clip, effort.clip_id)
    correction = correct(
        session,
        clip,
        effort.id,
        {str(name): at for name, at in asked.boundaries.items()},
        measured,
        coach_id=actor.person_id,
    )
    told = {"clip": clip.id, "athlete": clip.athlete_id, "effort": effort.id}
    announce(session, clip.gym_id, "effort.corrected", told)
    audit(session, actor, "changed", Resource("ruling", effort.gym_id, effort.athlete_id, correction.id))
    response.headers["Location"] = f"/api/v1/efforts/{effort.id}"
    return CorrectionGiven.model_validate(correction)


@review.get("/agreement")
def tell_agreement(session: Session, actor: Actor) -> Agreements:
    """How far blind rulings agree with the machine: Cohen's kappa, weighted by how probably each came up."""
    require(actor, "rule", Resource("ruling", actor.gym_id))
    assert actor.gym_id is not None
    return Agreements(items=agreements(session, actor.gym_id))

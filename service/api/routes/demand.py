"""What variants and measured clips ask of the body."""

from models.body.athlete import Athlete
from models.document import Document
from models.movements import load_movement
from models.prescription import Prescription
from service.access.decide import Resource
from service.api.deps import Actor, Session, fetch, require
from service.api.measured import current_document
from service.api.problems import Problem
from service.api.route import router
from service.api.said import athlete_of, plan_of
from service.api.shapes.models import DemandAsked
from service.demanding import Demands, Row, find, of_document, of_prescription, of_variants
from service.plans import what
from service.records import Clip

demand = router("models")


@demand.post("/demand")
def tell_demand(asked: DemandAsked, session: Session, actor: Actor) -> Demands:
    """Load at the hands and moment at the joint that limits the movement, each with its uncertainty."""
    require(actor, "read", Resource("model", actor.gym_id))
    plan, athlete = plan_of(asked.what), athlete_of(session, actor, asked.person, asked.body)
    document = None
    if asked.clip is not None:
        clip = fetch(session, Clip, asked.clip, actor, "read", "clip")
        require(actor, "read", Resource("result", clip.gym_id, clip.athlete_id, clip.id))
        document = current_document(session, clip)
    found = asked.find
    return Demands(
        movement=plan.movement,
        what=what(plan) if document is None else f"{what(plan)}, as measured",
        athlete=athlete,
        rows=_rows(document, plan, athlete),
        variants=of_variants(load_movement(plan.movement), athlete) if asked.variants else (),
        answer=find(found.by, found.percent, found.of, plan, athlete) if found else None,
    )


def _rows(document: Document | None, plan: Prescription, athlete: Athlete) -> tuple[Row, ...]:
    if document is None:
        return of_prescription(plan, athlete)
    if document.movement != plan.movement:
        raise Problem("conflict", f"the clip shows {document.movement}, and `what` says {plan.movement}")
    return of_document(document, plan, athlete)

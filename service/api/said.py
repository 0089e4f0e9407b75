"""What a request says of a variant and of an athlete, as the models take it."""

import shlex
from datetime import UTC, datetime

from sqlalchemy.orm import Session as Records

from models.body.athlete import Athlete
from models.errors import MovementError, PrescriptionError
from models.path.rules import StartDoses
from models.prescription import Prescription, parse_prescription
from service.access.actors import Actor
from service.api.deps import fetch
from service.api.shapes.models import Body
from service.asked import read_asked
from service.records import Person

DAYS_A_YEAR = 365.2425


def plan_of(what: str, doses: StartDoses | None = None) -> Prescription:
    """A movement with the keys of a prescription, as on the command line; or a prescription's TOML, told by its `=` or line breaks.

    Raises:
        BadInput: there is no such movement or key, or a value is wrong.
    """
    first = what.partition("\n")[0]
    if "\n" in what or first.lstrip().startswith("movement"):
        return parse_prescription(what.encode(), "the prescription")
    try:
        words = shlex.split(what)
    except ValueError as fault:
        raise PrescriptionError(f"quotes do not match in {what!r}; close them") from fault
    if words and words[0].endswith((".toml", ".json")):
        raise MovementError(f"{words[0]} is a file of yours; send what stands in it")
    return read_asked(words, doses)


def athlete_of(records: Records, actor: Actor, person: str | None, body: Body | None) -> Athlete:
    """Whose body it is: an athlete of the gym, or as the request says; else nobody in particular.

    Raises:
        Problem: 404, there is no such person for this actor.
    """
    if person is None:
        return (body or Body()).as_athlete()
    row = fetch(records, Person, person, actor, "read", "person")
    sex = {"male": "man", "female": "woman", None: None}[row.sex]
    days = None if row.born is None else (datetime.now(UTC).date() - row.born).days
    age = None if days is None else max(0.0, days / DAYS_A_YEAR)
    return Athlete.model_validate({"sex": sex, "height_cm": row.height_cm, "mass_kg": row.mass_kg, "age": age})

"""The measurement of a clip that counts."""

from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from models.document import Document
from service.api.problems import Problem
from service.records import Clip, Measurement

WHY = {
    "waiting": "the clip waits to be measured",
    "measuring": "the clip is being measured",
    "refused": "the clip could not be measured",
    "failed": "measuring the clip failed",
}


def current_measurement(records: Records, clip: Clip) -> Measurement:
    """The newest measurement of a clip.

    Raises:
        Problem: there is none yet, or there cannot be.
    """
    found = records.scalar(select(Measurement).where(Measurement.clip_id == clip.id, Measurement.current))
    if found is None:
        why = WHY.get(clip.state, "the clip has no measurement")
        raise Problem("not-ready", f"{why}: {clip.reason}" if clip.reason else why)
    return found


def current_document(records: Records, clip: Clip) -> Document:
    """The document of the newest measurement.

    Raises:
        Problem: as `current_measurement`.
    """
    return Document.model_validate_json(current_measurement(records, clip).document)

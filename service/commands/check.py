"""`plumbrep check`: what the clip shows, against what was prescribed."""

from models.prescription import read_prescription
from service.commands.options import Clip, HeightCm, Json, PrescriptionFile, Sensor, Weights
from service.delivery import deliver, require_deliverable
from service.measuring import measure_prescribed


def check(
    clip: Clip,
    prescription: PrescriptionFile,
    *,
    height_cm: HeightCm = None,
    sensor: Sensor = None,
    weights: Weights = None,
    json: Json = None,
) -> None:
    """Check each rep or hold of a clip against a prescription."""
    prescribed = read_prescription(prescription)
    require_deliverable(json, clip)
    measurement = measure_prescribed(clip, prescribed, height_cm=height_cm, sensor=sensor, weights=weights)
    deliver(measurement.document, json)

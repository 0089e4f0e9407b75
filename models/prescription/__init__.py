"""A prescription: a variant with its scalings, its dose and its limits; reading, checking and writing it."""

from models.prescription.prescribed import Prescription
from models.prescription.read import parse_prescription, read_prescription
from models.prescription.usual import with_usual_limits
from models.prescription.write import write_prescription

__all__ = ["Prescription", "parse_prescription", "read_prescription", "with_usual_limits", "write_prescription"]

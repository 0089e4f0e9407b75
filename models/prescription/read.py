"""Reading a prescription: from a TOML file to a value, or to one line that says where and what is wrong."""

from pathlib import Path

from models.errors import PrescriptionError
from models.prescription.prescribed import Prescription
from models.written import parse_written, read_bytes


def read_prescription(path: Path) -> Prescription:
    """Read a prescription from a TOML file.

    Raises:
        PrescriptionError: it cannot be read, is not TOML, or is wrong or contradicts itself.
    """
    return parse_prescription(read_bytes(path, PrescriptionError), path.name)


def parse_prescription(data: bytes, name: str) -> Prescription:
    """Read a prescription from the bytes of a TOML file; `name` is what messages call it.

    Raises:
        PrescriptionError: it is not TOML, names no known movement or variant, or is wrong or contradicts itself.
    """
    return parse_written(data, name, Prescription, PrescriptionError, "a prescription")

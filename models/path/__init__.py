"""What to prescribe next: the variants between what an athlete owns and what is out of reach, and when to move on."""

from models.path.available import Available, read_available
from models.path.history import Clearance, History, Session, read_history, session_of
from models.path.path import Path, Step, lay_path
from models.path.rules import Rules, read_rules
from models.path.standing import Standing, owned, pain_since, standing

__all__ = [
    "Available",
    "Clearance",
    "History",
    "Path",
    "Rules",
    "Session",
    "Standing",
    "Step",
    "lay_path",
    "owned",
    "pain_since",
    "read_available",
    "read_history",
    "read_rules",
    "session_of",
    "standing",
]

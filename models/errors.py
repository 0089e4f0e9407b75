"""The errors that a user can cause and mend.

BadInput
+-- ClipError            the file is not a clip that can be measured
|   +-- AthleteError     the clip opens, but the athlete in it cannot be measured
|       +-- UnseenError  nobody is seen, or not rightly; who looks otherwise may see them
+-- CorrectionError      a stroke's boundary is moved to where it cannot be
+-- DemandError          no posture fits what is asked, or the demand asked for cannot be reached
+-- MovementError        no such movement in the catalogue, or a faulty movement file
+-- PathError            no path leads there, or the rules or the history are wrong
+-- PrescriptionError    a prescription that is wrong or contradicts itself
+-- SensorError          the phone's sensor track cannot be read, or does not belong to the clip
+-- WeightsError         the landmark weights are missing and cannot be had

Each message is one line that says what is wrong and what to do. The command line prints it and ends with status 2.
"""


class BadInput(Exception):
    """Something the user gave cannot be used; the message says why and what to do."""


class ClipError(BadInput):
    """The file is not a clip that can be measured."""


class AthleteError(ClipError):
    """The clip opens, but no athlete in it can be measured."""


class UnseenError(AthleteError):
    """Nobody is seen in the clip, or not rightly; who looks otherwise may see them."""


class CorrectionError(BadInput):
    """A stroke's boundary is moved to where it cannot be."""


class DemandError(BadInput):
    """No posture fits what is asked, or the demand that is asked for cannot be reached."""


class MovementError(BadInput):
    """No such movement in the catalogue, or a faulty movement file."""


class PathError(BadInput):
    """No path leads there, or the rules or the history are wrong."""


class PrescriptionError(BadInput):
    """A prescription that is wrong or contradicts itself."""


class SensorError(BadInput):
    """The phone's sensor track cannot be read, or does not belong to the clip."""


class WeightsError(BadInput):
    """The landmark weights are missing and cannot be had."""

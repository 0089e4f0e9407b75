"""The base of every part of a catalogue file."""

from pydantic import ConfigDict

from models.quantity import Frozen


class Entry(Frozen):
    """Part of a catalogue file. An unknown key there is a slip of the pen, so it is refused."""

    model_config = ConfigDict(extra="forbid")

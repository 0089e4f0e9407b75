"""Shapes of prescriptions."""

from datetime import datetime
from typing import Annotated, Final

from pydantic import Field, StringConstraints

from service.api.shapes.common import Asked, Given, Id, IdOrNone

EXAMPLE: Final = 'movement = "push-up"\nsets = 3\nreps = 8\ntempo = "3-1-1-0"\nlimits.bent.elbow.low = 90\n'

Text = Annotated[
    str,
    StringConstraints(max_length=100_000, min_length=1),
    Field(description="The prescription as TOML; errors tell line and column.", examples=[EXAMPLE]),
]


class NewPrescription(Asked):
    """What an athlete is to do."""

    athlete: Annotated[Id, Field(description="Whose it is.")]
    text: Text


class PrescriptionChange(Asked):
    """The prescription from now on."""

    text: Text
    active: Annotated[bool, Field(description="False: no longer to be done.")] = True


class VersionGiven(Given):
    """A prescription as it was from one moment on."""

    id: Id
    n: Annotated[int, Field(description="1 is the first version.", examples=[2])]
    text: Annotated[str, Field(examples=[EXAMPLE])]
    variant: Annotated[str, Field(description="What is done, in words.", examples=["push-up, hands 30 cm up"])]
    dose: Annotated[str | None, Field(description="How much of it, in words.", examples=["3 x 8, 3-1-1-0"])]
    created: datetime
    created_by: Annotated[IdOrNone, Field(description="The coach; null: a program.")]


class PrescriptionGiven(Given):
    """A prescription with its newest version."""

    id: Id
    athlete_id: Id
    movement: Annotated[str, Field(examples=["push-up"])]
    active: bool
    created: datetime
    version: VersionGiven

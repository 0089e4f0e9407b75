"""Shapes of clips."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from service.api.shapes.common import Asked, Given, Id, IdOrNone
from service.records.clips import State


class ClipGiven(Given):
    """A clip, and how far it is with being measured."""

    id: Id
    athlete_id: Id
    prescription_version_id: Annotated[IdOrNone, Field(description="What it is judged by.")]
    movement: Annotated[
        str | None, Field(description="Where nothing is prescribed; null: what it looks like.", examples=["push-up"])
    ]
    hold: Annotated[bool | None, Field(description="Whether it shows holds; null: as the movement is usually done.")]
    bytes: Annotated[int, Field(examples=[31_457_280])]
    seconds: Annotated[float, Field(examples=[44.2])]
    filmed: Annotated[datetime | None, Field(description="As the file or the athlete says.")]
    arrived: datetime
    expires: Annotated[datetime | None, Field(description="When its files go; its numbers stay.")]
    files_gone: Annotated[datetime | None, Field(description="Since when its files are gone.")]
    sensor: Annotated[bool, Field(description="Whether roll and pitch of the phone came along.")]
    state: Annotated[
        State, Field(description="`refused`: it cannot be measured, see `reason`; `failed`: a fault of ours.")
    ]
    stage: Annotated[str | None, Field(description="What is being done.", examples=["following the body"])]
    progress: Annotated[float, Field(description="How far that is, 0 to 1.", examples=[0.4])]
    reason: Annotated[
        str | None,
        Field(
            description="Why it was refused or failed.",
            examples=["no person is seen in this clip; film the whole body"],
        ),
    ]


class Progress(Given):
    """How far a clip is."""

    state: State
    stage: str | None
    progress: float
    reason: str | None


class MeasureAsked(Asked):
    """Measure a clip again; what is left out stays as it was."""

    prescription: Annotated[Id | None, Field(description="Judge it by this prescription's newest version.")] = None
    movement: Annotated[
        str | None, Field(max_length=60, description="Of this movement, without a prescription.", examples=["row"])
    ] = None
    hold: Annotated[bool | None, Field(description="Look for holds, or for reps.")] = None

"""What all shapes share."""

from typing import Annotated, Final

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

EXAMPLE_ID: Final = "bq0f3lH1Sg2mJv3c5JQ1xA"
EXAMPLE_NUMBER: Final = 4711
EXAMPLE_CURSOR: Final = "WyIyMDI2LTExLTI2VDE4OjA1OjAwKzAwOjAwIiw0NzExXQ"


class Asked(BaseModel):
    """What a request brings: a field that is not known is an error, so that no misspelt one is lost."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Given(BaseModel):
    """What an answer brings."""

    model_config = ConfigDict(frozen=True, from_attributes=True)


def _printable(pattern: str = r"^[^\x00-\x1f\x7f]+$") -> StringConstraints:
    return StringConstraints(strip_whitespace=True, min_length=1, pattern=pattern)


Id = Annotated[str, Field(description="Identifier.", examples=[EXAMPLE_ID])]
IdOrNone = Annotated[str | None, Field(examples=[EXAMPLE_ID])]
Share = Annotated[float, Field(description="0 to 1.", examples=[0.93])]
Line = Annotated[str, _printable()]
"""One line of text without control characters."""
Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000, pattern=r"^[^\x00]+$")]
"""Some lines of text."""

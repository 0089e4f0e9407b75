"""Tempo in trade notation, and the limits that follow from it where a prescription writes none."""

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, PlainSerializer

from models.limit import Limit
from models.quantity import Frozen

Digit = float | Literal["X"]
STROKES = ("lowering", "raising")
PLACES = ("lowering", "bottom_pause", "raising", "top_pause")
EXAMPLE = '"5-1-1-0" (lowering, bottom pause, raising, top pause; X = as fast as possible)'


class Tempo(Frozen):
    """Seconds of each part of a rep, always in this order whatever comes first in time.

    A single place ("5") is a lowering with nothing said about the rest.
    """

    lowering: Digit
    bottom_pause: Digit | None = None
    raising: Digit | None = None
    top_pause: Digit | None = None

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read `5-1-1-0`, `3-0-X-1` or `5`.

        Raises:
            ValueError: it is not a tempo.
        """
        places = [_digit(place.strip(), text) for place in text.split("-")]
        if len(places) not in (1, len(PLACES)):
            raise ValueError(f"{len(places)} places in {text!r}, not four; write it as {EXAMPLE}")
        return cls.model_validate(dict(zip(PLACES, places, strict=False)))

    def __str__(self) -> str:
        digits = (getattr(self, place) for place in PLACES)
        return "-".join(digit if isinstance(digit, str) else f"{digit:g}" for digit in digits if digit is not None)

    def asked(self) -> dict[str, Digit]:
        """What is written for each part of a rep, by the part's name."""
        return {place: digit for place in PLACES if (digit := getattr(self, place)) is not None}

    def limits(self) -> dict[str, Limit]:
        """Limits in seconds by the part's name; none for X, which is measured and compared, not ruled on.

        Common practice, no source.
        """
        limit_of = {"lowering": lowering_limit, "raising": raising_limit}
        return {
            part: limit_of.get(part, pause_limit)(digit)
            for part, digit in self.asked().items()
            if not isinstance(digit, str)
        }


def lowering_limit(digit: float) -> Limit:
    """A lowering may fall short by 0.5 s or 10 %, whichever is more; a longer one is never wrong."""
    return Limit(low=digit - max(0.5, 0.1 * digit))


def raising_limit(digit: float) -> Limit:
    """A raising may take one second more than written; a faster one is never wrong."""
    return Limit(high=digit + 1)


def pause_limit(digit: float) -> Limit:
    """A pause may fall short by 0.3 s; where none is asked for, the turn may take 0.6 s."""
    return Limit(low=digit - 0.3) if digit > 0 else Limit(high=0.6)


def hold_limit(seconds: float) -> Limit:
    """A hold may fall short by 0.5 s."""
    return Limit(low=seconds - 0.5)


def _digit(place: str, text: str) -> Digit:
    if place in ("X", "x"):
        return "X"
    try:
        seconds = float(place)
    except ValueError:
        raise ValueError(f"{place!r} in {text!r} is neither a number of seconds nor X; write it as {EXAMPLE}") from None
    if not 0 <= seconds <= 60:
        raise ValueError(f"{place} in {text!r} is out of range; each place is 0 to 60 s or X")
    return seconds


def _read(value: object) -> object:
    if isinstance(value, Tempo):
        return value
    if not isinstance(value, str):
        raise ValueError(f"should be text in quotes, such as {EXAMPLE}, not {value!r}")  # noqa: TRY004, pydantic's way
    return Tempo.parse(value)


WrittenTempo = Annotated[Tempo, BeforeValidator(_read), PlainSerializer(str)]
"""A tempo that is read from its notation and written back in it."""

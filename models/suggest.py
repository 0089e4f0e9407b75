"""Help with a misspelt name."""

from collections.abc import Iterable
from difflib import get_close_matches


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean 'x'?` for the known name closest to `word`, or an empty string where none is close."""
    close = get_close_matches(word, list(known), n=1)
    return f"; did you mean {close[0]!r}?" if close else ""

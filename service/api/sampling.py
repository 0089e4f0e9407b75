"""Which efforts a coach rules on blindly, before the machine's verdict is shown, so that agreement can be measured.

One in twenty of what was met comes up for review, and of what comes up anyway, missed or unsure, every fourth is blind: were
only met ones shown without a verdict, its absence would give the verdict away. An effort is drawn by a hash of its number,
keyed by the gym, so the draw is stable, cannot be guessed from the numbers, and the database can make it itself.

Source: Carter and Wegman 1979, Universal classes of hash functions: ((a x + b) mod p) mod m, here with p as m and a threshold.
"""

from functools import lru_cache
from hashlib import sha256
from typing import Final, NamedTuple

from sqlalchemy import ColumnElement, and_, or_

from models.document import VerdictWord
from service.records import Effort

PRIME: Final = 2**31 - 1
"""Products of two numbers below it fit into the 64 bits that both databases count with."""
CHANCE: Final[dict[VerdictWord, float]] = {"met": 1 / 20, "missed": 1 / 4, "unsure": 1 / 4}
"""The probability that an effort with this verdict is drawn."""


class _Key(NamedTuple):
    a: int
    b: int


@lru_cache(maxsize=1024)
def _key(gym_id: str) -> _Key:
    digest = sha256(f"blind rulings of {gym_id}".encode()).digest()
    return _Key(1 + int.from_bytes(digest[:8]) % (PRIME - 1), int.from_bytes(digest[8:16]) % PRIME)


def drawn(gym_id: str) -> ColumnElement[bool]:
    """The condition for efforts that are drawn."""
    key = _key(gym_id)
    place = ((Effort.id % PRIME) * key.a + key.b) % PRIME
    return or_(*(and_(Effort.verdict == verdict, place < _below(verdict)) for verdict in CHANCE))


def is_drawn(effort: Effort) -> bool:
    """The same, of one effort."""
    if effort.verdict is None:
        return False
    key = _key(effort.gym_id)
    return ((effort.id % PRIME) * key.a + key.b) % PRIME < _below(effort.verdict)


def is_blind(effort: Effort) -> bool:
    """Whether the machine's verdict is still to be held back from the coach."""
    return effort.current and effort.ruling is None and is_drawn(effort)


def _below(verdict: VerdictWord) -> int:
    return round(PRIME * CHANCE[verdict])

"""How far a machine and a person agree beyond chance: Cohen's kappa, from cases drawn with known probabilities.

Sources: Cohen 1960, A coefficient of agreement for nominal scales; its large-sample variance after Fleiss, Cohen and
Everitt 1969. Each case counts with the inverse of the probability that it was drawn (Horvitz and Thompson 1952), and the
variance is that of the linearised estimate (Binder 1983), which for equal weights is Fleiss's own with n - 1 for n.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

Z: Final = 1.96
"""Standard errors to either side of a 95 % interval."""


@dataclass(frozen=True)
class Pair:
    """One case: what the machine said, what the person said, and the probability that the case was drawn."""

    machine: Hashable
    person: Hashable
    chance: float = 1.0


@dataclass(frozen=True)
class Agreement:
    """Agreement over `n` cases.

    Attributes:
        n: cases.
        share: of cases in which both said the same, weighted; None without cases.
        kappa: 1 where they always agree, 0 where they agree as chance would have it; None where one of both always said
            the same word, so that chance explains everything.
        standard_error: of kappa; None with fewer than two cases.
        interval: 95 %, within -1 and 1.
    """

    n: int
    share: float | None
    kappa: float | None
    standard_error: float | None
    interval: tuple[float, float] | None


def agreement(pairs: Sequence[Pair]) -> Agreement:
    """Weighted agreement and Cohen's kappa.

    Raises:
        ValueError: a chance is not above 0 and at most 1.
    """
    if any(not 0 < pair.chance <= 1 for pair in pairs):
        raise ValueError("the chance that a case was drawn lies above 0 and is at most 1")
    if not pairs:
        return Agreement(0, None, None, None, None)
    total = sum(1 / pair.chance for pair in pairs)
    shares = [1 / pair.chance / total for pair in pairs]
    words = {word for pair in pairs for word in (pair.machine, pair.person)}
    by_machine = {word: _sum(shares, [pair.machine == word for pair in pairs]) for word in words}
    by_person = {word: _sum(shares, [pair.person == word for pair in pairs]) for word in words}
    same = _sum(shares, [pair.machine == pair.person for pair in pairs])
    expected = sum(by_machine[word] * by_person[word] for word in words)
    if max(*by_machine.values(), *by_person.values()) >= 1 - 1e-12:
        return Agreement(len(pairs), same, None, None, None)
    kappa = (same - expected) / (1 - expected)
    if len(pairs) < 2:
        return Agreement(len(pairs), same, kappa, None, None)
    # How much kappa moves with each case: the derivative along its cell of the table.
    moves = [
        (
            (1 - expected) * ((pair.machine == pair.person) - same)
            - (1 - same) * (by_person[pair.machine] + by_machine[pair.person] - 2 * expected)
        )
        / (1 - expected) ** 2
        for pair in pairs
    ]
    n = len(pairs)
    error = sqrt(n / (n - 1) * sum((share * move) ** 2 for share, move in zip(shares, moves, strict=True)))
    return Agreement(n, same, kappa, error, (max(-1.0, kappa - Z * error), min(1.0, kappa + Z * error)))


def _sum(shares: Sequence[float], counts: Sequence[bool]) -> float:
    return sum(share for share, counted in zip(shares, counts, strict=True) if counted)

"""Drawing lots: plain values from one generator, rounded so that a recipe reads well."""

from typing import TypeVar

import numpy as np

from sample_clips.recipe import Colour

T = TypeVar("T")


class Draw:
    """Values drawn one after the other."""

    def __init__(self, random: np.random.Generator) -> None:
        self._random = random

    def between(self, low: float, high: float) -> float:
        """Even between two values."""
        return round(float(self._random.uniform(low, high)), 3)

    def about(self, mean: float, sd: float, low: float, high: float) -> float:
        """Normal about a mean, kept within bounds."""
        return round(float(np.clip(self._random.normal(mean, sd), low, high)), 1)

    def whole(self, low: int, high: int) -> int:
        """A whole number from low to high, both included."""
        return int(self._random.integers(low, high + 1))

    def chance(self, share: float) -> bool:
        """True so often."""
        return bool(self._random.random() < share)

    def pick(self, *choices: T) -> T:
        """One of them; a choice that is written twice comes twice as often."""
        return choices[int(self._random.integers(len(choices)))]

    def either_side(self, low: float, high: float) -> float:
        """Between two values, to the left or to the right."""
        return self.pick(-1.0, 1.0) * self.between(low, high)

    def colour(self, low: float, high: float) -> Colour:
        """Any colour."""
        return self.between(low, high), self.between(low, high), self.between(low, high)

    def muted(self, low: float, high: float) -> Colour:
        """A colour that floors and walls have: mostly grey."""
        grey = self._random.uniform(low, high)
        red, green, blue = (round(float(grey * v), 3) for v in self._random.uniform(0.82, 1.08, 3))
        return red, green, blue

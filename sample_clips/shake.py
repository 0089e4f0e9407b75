"""How a hand shakes the phone that it holds, and what a stabilised video leaves of that."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.signal import butter, sosfiltfilt

from sample_clips.recipe import Phone

Array = NDArray[np.float64]
RATE = 60.0
CALM = 0.8
"""Seconds (standard deviation) over which a stabiliser averages the phone's turns."""


@dataclass(frozen=True)
class Shake:
    """Turn (yaw, pitch, roll; degrees) and shift (metres) of the hand on an even clock of RATE, (N, 6)."""

    series: Array

    @classmethod
    def of(cls, phone: Phone, seconds: float, seed: int) -> Self:
        """The shake of one clip."""
        generator = np.random.default_rng([seed, 7])
        margin = 300
        count = int(seconds * RATE) + 4
        columns = []
        for rms in (phone.shake_deg,) * 3 + (phone.shake_m,) * 3:
            white = generator.standard_normal((2, count + 2 * margin))
            slow = sosfiltfilt(butter(2, 0.6, fs=RATE, output="sos"), white[0])[margin:-margin]
            fast = sosfiltfilt(butter(2, 4.0, fs=RATE, output="sos"), white[1])[margin:-margin]
            series = slow / np.std(slow) + 0.25 * fast / np.std(fast)
            columns.append(rms * (series - series.mean()))
        return cls(np.stack(columns, axis=1))

    def at(self, time: Array) -> Array:
        """The shake (N, 6) at any times of the clip."""
        return self._read(self.series, time)

    def stabilised(self, time: Array) -> Array:
        """What a stabiliser leaves of it."""
        return self._read(gaussian_filter1d(self.series, CALM * RATE, axis=0, mode="nearest"), time)

    def _read(self, series: Array, time: Array) -> Array:
        clock = np.arange(len(series)) / RATE
        return np.stack([np.interp(time, clock, column) for column in series.T], axis=1)

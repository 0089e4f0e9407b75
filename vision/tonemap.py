"""From high dynamic range (HLG or PQ in BT.2020) to 8-bit sRGB, by tables.

ITU-R BT.2100-2 gives both transfer functions: the PQ EOTF (table 4) and the HLG inverse OETF with the OOTF of a
1000 cd/m2 display (table 5). The OOTF's exponent is applied to each channel instead of to the luminance, which is exact
for greys. Diffuse white is 203 cd/m2 (ITU-R BT.2408). Light below half of it is kept as it is, so that skin and shadows
look as filmed; from there up to 1000 cd/m2 it is rolled off smoothly to white. Primaries go from BT.2020 to BT.709 by
the matrix of ITU-R BT.2087, and light to code values by IEC 61966-2-1.
"""

from functools import cache
from typing import Final, TypeVar

import cv2
import numpy as np
from av.video.reformatter import ColorTrc
from numpy.typing import NDArray

Array = NDArray[np.float64]
Single = NDArray[np.float32]
Number = TypeVar("Number", np.float32, np.uint8)

WHITE: Final = 203.0
"""Diffuse white, cd/m2."""
PEAK: Final = 1000.0
"""Brightest light kept apart from white, cd/m2."""
KNEE: Final = 0.5
"""Share of diffuse white up to which light is kept as it is."""

_BT2020_TO_BT709: Final = np.array(
    [[1.6605, -0.5876, -0.0728], [-0.1246, 1.1329, -0.0083], [-0.0182, -0.1006, 1.1187]], dtype=np.float32
)
_STEPS: Final = 4096
"""Length of the tables: four steps for each step of a 10-bit signal."""
_ROOTS: Final = np.arange(_STEPS) / (_STEPS - 1)

_TRANSFERS: Final = {int(ColorTrc.ARIB_STD_B67), int(ColorTrc.SMPTE2084)}


def is_hdr(transfer: int) -> bool:
    """Whether a frame's `color_trc` is HLG or PQ."""
    return transfer in _TRANSFERS


def to_sdr(image: NDArray[np.uint16], transfer: int) -> NDArray[np.uint8]:
    """Show a 16-bit HLG or PQ picture (H, W, 3) in BT.2020 primaries as 8-bit sRGB."""
    light = _in_bt709(_look_up(_light_table(transfer), image // 16))
    # One factor for all three channels, by the brightest of them, so that rolling off changes no hue.
    brightest = np.maximum(np.maximum(light[..., 0], light[..., 1]), light[..., 2])
    shown = light * _look_up(_gain_table(), _root_index(brightest))[..., None]
    return _look_up(_code_table(), _root_index(shown))


def pq_to_light(signal: Array) -> Array:
    """Display light (cd/m2) of a PQ signal in 0..1: BT.2100-2 table 4."""
    m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 4096 * 128, 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32
    power = np.asarray(signal, dtype=float) ** (1 / m2)
    return np.asarray(10000 * (np.maximum(power - c1, 0) / (c2 - c3 * power)) ** (1 / m1))


def hlg_to_light(signal: Array) -> Array:
    """Light (cd/m2) that a 1000 cd/m2 display gives for a grey HLG signal in 0..1: BT.2100-2 table 5."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    signal = np.asarray(signal, dtype=float)
    scene = np.where(signal <= 0.5, signal**2 / 3, (np.exp((signal - c) / a) + b) / 12)
    return np.asarray(1000 * scene**1.2)


def roll_off(light: Array) -> Array:
    """Shown light (1 = white) of light relative to diffuse white: straight up to KNEE, then bent to reach 1 at PEAK."""
    span = PEAK / WHITE - KNEE
    # (1 + s) t / (t + s) runs from 0 to 1 with t; s makes its slope at 0 meet the straight part's.
    s = 1 / (span / (1 - KNEE) - 1)
    t = np.clip((np.asarray(light, dtype=float) - KNEE) / span, 0, 1)
    return np.where(light <= KNEE, light, KNEE + (1 - KNEE) * (1 + s) * t / (t + s))


def _in_bt709(light: Single) -> Single:
    """BT.2020 light in BT.709 primaries, what they cannot show cut off."""
    return np.clip(np.asarray(cv2.transform(light, _BT2020_TO_BT709), dtype=np.float32), 0, 1)


def _look_up(table: NDArray[Number], index: NDArray[np.uint16]) -> NDArray[Number]:
    return np.take(table, index, mode="clip")


def _root_index(light: Single) -> NDArray[np.uint16]:
    """Where light in 0..1 stands in a table over its root, which spreads the steps over dark and bright as the eye does."""
    return np.asarray(cv2.sqrt(light) * (_STEPS - 1) + 0.5, dtype=np.uint16)


@cache
def _light_table(transfer: int) -> Single:
    """Light, 1 at PEAK, by 12-bit signal."""
    to_light = hlg_to_light if transfer == ColorTrc.ARIB_STD_B67 else pq_to_light
    return np.asarray(to_light(_ROOTS) / PEAK, dtype=np.float32)


@cache
def _gain_table() -> Single:
    """Shown light, 1 at white, over light, 1 at PEAK, by the root of the latter."""
    light = np.maximum(_ROOTS, _ROOTS[1]) ** 2
    return np.asarray(roll_off(light * PEAK / WHITE) / light, dtype=np.float32)


@cache
def _code_table() -> NDArray[np.uint8]:
    """8-bit sRGB code by the root of shown light: IEC 61966-2-1."""
    light = _ROOTS**2
    code = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(255 * code), dtype=np.uint8)

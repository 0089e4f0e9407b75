"""Procedural pictures for surfaces: tiles that repeat without a seam, and a block of noise for skin and cloth."""

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.float64]
SIZE = 512
LAYERS = (
    "plain", "planks", "mats", "concrete", "carpet", "grass", "plaster", "brick", "panels", "hedge", "wood", "steel",
    "paint", "rubber", "poster0", "poster1", "poster2", "window",
)  # fmt: skip
METRES = {"planks": 1.2, "mats": 1.0, "concrete": 1.6, "carpet": 0.6, "grass": 0.9, "plaster": 1.5, "brick": 1.0}
METRES |= {"panels": 1.6, "hedge": 1.2, "wood": 0.8}
"""Side of one tile in the world."""


def tiles(seed: int) -> NDArray[np.uint8]:
    """All layers, (L, SIZE, SIZE, 3), brightness about 0.8 of white so that a colour can be laid over them."""
    generator = np.random.default_rng([seed, 11])
    return np.stack([_to_bytes(_draw(name, generator)) for name in LAYERS])


def noise_block(seed: int, size: int = 64) -> NDArray[np.uint8]:
    """Four channels of noise without a seam, (size, size, size, 4), several octaves."""
    generator = np.random.default_rng([seed, 13])
    frequency = np.fft.fftfreq(size) * size
    radius = np.sqrt(sum(f**2 for f in np.meshgrid(frequency, frequency, frequency, indexing="ij")))
    envelope = np.where(radius > 0, 1.0 / np.maximum(radius, 1) ** 1.15, 0) * (radius < size / 2.2)
    channels = []
    for _ in range(4):
        field = np.real(np.fft.ifftn(np.fft.fftn(generator.standard_normal((size,) * 3)) * envelope))
        channels.append(np.clip(0.5 + 0.17 * field / np.std(field), 0, 1))
    return _to_bytes(np.stack(channels, axis=-1))


def cloud(generator: np.random.Generator, slope: float, size: int = SIZE) -> Picture:
    """Noise without a seam (size, size), zero mean, unit deviation; the larger the slope the smoother."""
    fy, fx = np.meshgrid(np.fft.fftfreq(size) * size, np.fft.fftfreq(size) * size, indexing="ij")
    radius = np.maximum(np.hypot(fx, fy), 1)
    field = np.real(np.fft.ifft2(np.fft.fft2(generator.standard_normal((size, size))) / radius**slope))
    return np.asarray((field - field.mean()) / field.std())


def _draw(name: str, generator: np.random.Generator) -> Picture:
    grey = np.ones((SIZE, SIZE, 3))
    if name == "plain":
        return 0.8 * grey
    if name in ("planks", "wood"):
        return _planks(generator, rows=8 if name == "planks" else 4)
    if name == "mats":
        return _grid(0.72 + 0.05 * cloud(generator, 0.5) + 0.16 * (generator.random((SIZE, SIZE)) > 0.985), 1, 4, 0.5)
    if name == "brick":
        return _bricks(generator)
    if name == "panels":
        return _grid(0.82 + 0.03 * cloud(generator, 0.9), 2, 3, 0.72)
    if name.startswith("poster"):
        return _poster(generator)
    if name == "window":
        return _window(generator)
    rough = {"concrete": (0.07, 0.9), "carpet": (0.13, 0.25), "grass": (0.22, 0.35), "plaster": (0.045, 0.8)}
    rough |= {"hedge": (0.30, 0.55), "steel": (0.05, 0.9), "paint": (0.03, 0.9), "rubber": (0.08, 0.4)}
    strength, slope = rough[name]
    field = 0.78 + strength * cloud(generator, slope)
    if name in ("grass", "hedge"):
        return np.stack([field * (0.85 + 0.1 * cloud(generator, 0.6)), field, 0.8 * field], -1)
    return field[..., None] * grey


def _planks(generator: np.random.Generator, rows: int) -> Picture:
    rise = SIZE // rows
    picture = np.zeros((SIZE, SIZE, 3))
    for row in range(rows):
        grain = cloud(generator, 0.9)
        grain = np.asarray(cv2.resize(grain[:, : SIZE // 8], (SIZE, SIZE)), dtype=np.float64)[:rise]
        tint = 0.76 + 0.09 * generator.standard_normal() + 0.08 * grain
        tint[:3] *= 0.55
        joint = int(generator.integers(0, SIZE))
        tint[:, joint : joint + 3] *= 0.6
        picture[row * rise : (row + 1) * rise] = tint[..., None]
    return picture


def _bricks(generator: np.random.Generator) -> Picture:
    rows, columns = 12, 4
    rise, run = SIZE // rows, SIZE // columns
    picture = np.full((SIZE, SIZE), 0.86)
    for row in range(rows):
        for column in range(columns):
            left = column * run + (row % 2) * run // 2
            across = np.arange(left + 3, left + run - 3) % SIZE
            shade = 0.66 + 0.08 * generator.standard_normal()
            picture[row * rise + 3 : (row + 1) * rise - 3, across] = shade
    return (picture + 0.05 * cloud(generator, 0.6))[..., None] * np.ones(3)


def _grid(field: Picture, columns: int, width: int, dark: float) -> Picture:
    field = field.copy()
    step = SIZE // columns
    for line in range(columns):
        field[line * step : line * step + width] *= dark
        field[:, line * step : line * step + width] *= dark
    return field[..., None] * np.ones(3)


def _poster(generator: np.random.Generator) -> Picture:
    picture = np.full((SIZE, SIZE, 3), 0.9) * generator.uniform(0.3, 1, 3)
    for _ in range(14):
        centre = tuple(int(v) for v in generator.integers(0, SIZE, 2))
        colour = tuple(float(v) for v in generator.uniform(0.1, 1, 3))
        cv2.circle(picture, centre, int(generator.integers(15, 90)), colour, -1 if generator.random() < 0.6 else 6)
        far = tuple(int(v) for v in generator.integers(0, SIZE, 2))
        cv2.line(picture, centre, far, colour, int(generator.integers(2, 9)))
    cv2.rectangle(picture, (0, 0), (SIZE - 1, SIZE - 1), (0.15, 0.15, 0.15), 16)
    return picture


def _window(generator: np.random.Generator) -> Picture:
    picture = np.ones((SIZE, SIZE, 3)) * [0.85, 0.93, 1.0]
    picture[SIZE // 2 :] *= (0.8 + 0.06 * cloud(generator, 0.8)[SIZE // 2 :])[..., None]
    for place in (0, SIZE // 2 - 9, SIZE - 18):
        picture[place : place + 18] = 0.55
        picture[:, place : place + 18] = 0.55
    return picture


def _to_bytes(picture: Picture) -> NDArray[np.uint8]:
    return np.asarray(np.clip(picture * 255 + 0.5, 0, 255), dtype=np.uint8)

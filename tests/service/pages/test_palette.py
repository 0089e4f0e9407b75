"""The contrast of the palette, in light and dark.

Source: WCAG 2.2, success criteria 1.4.3 and 1.4.11, and its definitions of contrast ratio and relative luminance.
"""

import re
from pathlib import Path

import pytest

PALETTE = Path(__file__).parents[3] / "service" / "web" / "styles" / "parts" / "palette.css"
COLOUR = re.compile(r"--([\w-]+): (#[0-9a-f]{6});")
LIGHT, DARK = (dict(COLOUR.findall(part)) for part in PALETTE.read_text().split("@media"))
GROUNDS = ("paper", "sheet", "sunk")
TEXTS = ("ink", "soft-ink", "link", "accent", "fault", "met", "missed", "unsure")
MARKS = ("edge", "measured", "second", "limit")
PAIRS = [
    *((text, ground, 4.5) for text in TEXTS for ground in GROUNDS),
    *((mark, ground, 3.0) for mark in MARKS for ground in GROUNDS),
    ("on-accent", "accent", 4.5),
    ("ink", "accent-paper", 4.5),
    ("link", "accent-paper", 4.5),
    ("fault", "fault-paper", 4.5),
]


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_that_of_the_standard() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize(("front", "ground", "least"), PAIRS)
@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
def test_a_pair_can_be_told_apart(scheme: dict[str, str], front: str, ground: str, least: float) -> None:
    assert contrast(scheme[front], scheme[ground]) >= least

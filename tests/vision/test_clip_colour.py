"""Colours: standard ones come through, high dynamic range is brought down to them by the published formulas."""

from pathlib import Path

import numpy as np
import pytest
from av.video.reformatter import ColorTrc

from tests.vision import clips
from vision import tonemap
from vision.clip import open_clip

HLG = int(ColorTrc.ARIB_STD_B67)
PQ = int(ColorTrc.SMPTE2084)


def grey(signal: float) -> np.ndarray:
    return np.full((2, 3, 3), round(signal * 65535), np.uint16)


# ITU-R BT.2408, table 1: nominal signal levels for diffuse white (203 cd/m2) and for an 18 % grey card (26 cd/m2), in
# percent. From memory.


@pytest.mark.parametrize(("signal", "light"), [(0.75, 203), (0.38, 26)])
def test_hlg_levels(signal: float, light: float) -> None:
    assert tonemap.hlg_to_light(np.array(signal)) == pytest.approx(light, rel=0.03)


@pytest.mark.parametrize(("signal", "light"), [(0.58, 203), (0.38, 26)])
def test_pq_levels(signal: float, light: float) -> None:
    assert tonemap.pq_to_light(np.array(signal)) == pytest.approx(light, rel=0.03)


def test_ends_of_the_transfer_functions() -> None:
    """BT.2100: both are 0 at 0; PQ reaches 10 000 cd/m2, HLG the display's own peak; HLG's halves meet at 1/12."""
    assert tonemap.pq_to_light(np.array([0.0, 1.0])) == pytest.approx([0, 10000])
    assert tonemap.hlg_to_light(np.array([0.0, 1.0])) == pytest.approx([0, 1000], rel=1e-6)
    below, above = tonemap.hlg_to_light(np.array([0.5, 0.5 + 1e-9]))
    assert below == pytest.approx(1000 * (1 / 12) ** 1.2)
    assert above == pytest.approx(below, rel=1e-6)


def test_roll_off_keeps_the_dark_half_rises_throughout_and_bends_without_a_corner() -> None:
    light = np.linspace(0, tonemap.PEAK / tonemap.WHITE, 5001)
    shown = tonemap.roll_off(light)
    assert shown[light <= tonemap.KNEE] == pytest.approx(light[light <= tonemap.KNEE])
    assert np.all(np.diff(shown) > 0)
    assert shown[-1] == pytest.approx(1)
    slopes = np.diff(shown) / np.diff(light)
    assert np.abs(np.diff(slopes)).max() < 0.01


@pytest.mark.parametrize("transfer", [HLG, PQ])
def test_greys_stay_grey_and_get_no_darker_as_the_signal_rises(transfer: int) -> None:
    codes = [tonemap.to_sdr(grey(signal), transfer) for signal in np.linspace(0, 1, 200)]
    assert max(int(np.ptp(code)) for code in codes) <= 1
    assert np.all(np.diff([int(code[0, 0, 1]) for code in codes]) >= 0)
    assert codes[0].max() == 0
    assert codes[-1].min() == 255


@pytest.mark.parametrize(("signal", "transfer"), [(0.38, HLG), (0.38, PQ)])
def test_an_18_percent_grey_card_looks_as_on_any_other_clip(signal: float, transfer: int) -> None:
    """26 cd/m2 of 203 is 0.128 of white; IEC 61966-2-1 codes it 1.055 * 0.128**(1/2.4) - 0.055 = 0.393, which is 100."""
    assert int(tonemap.to_sdr(grey(signal), transfer)[0, 0, 1]) == pytest.approx(100, abs=3)


def test_a_colour_inside_bt709_keeps_its_ratios() -> None:
    """A BT.709 light of (0.30, 0.15, 0.10) of white, in BT.2020 by the inverse of the matrix of BT.2087, through PQ."""
    want = np.array([0.30, 0.15, 0.10])
    light = np.linalg.inv(tonemap._BT2020_TO_BT709.astype(float)) @ want * tonemap.WHITE
    signals = np.linspace(0, 1, 65536)
    signal = np.interp(light, tonemap.pq_to_light(signals), signals)
    shown = tonemap.to_sdr(np.round(signal * 65535).astype(np.uint16).reshape(1, 1, 3), PQ)
    assert shown.ravel() == pytest.approx(255 * (1.055 * want ** (1 / 2.4) - 0.055), abs=2)


def test_a_bright_orange_stays_orange() -> None:
    """All channels are dimmed alike: 4 : 2 : 0.4 is still 2 : 1 : 0.2 in light."""
    signals = np.linspace(0, 1, 65536)
    light = np.linalg.inv(tonemap._BT2020_TO_BT709.astype(float)) @ np.array([4.0, 2.0, 0.4]) * tonemap.WHITE
    signal = np.interp(light, tonemap.pq_to_light(signals), signals)
    shown = tonemap.to_sdr(np.round(signal * 65535).astype(np.uint16).reshape(1, 1, 3), PQ).ravel() / 255
    linear = ((shown + 0.055) / 1.055) ** 2.4
    assert linear[0] / linear[1] == pytest.approx(2, rel=0.03)
    assert linear[0] / linear[2] == pytest.approx(10, rel=0.06)


@pytest.mark.parametrize("transfer", [HLG, PQ])
def test_a_ten_bit_hevc_clip_in_high_dynamic_range(tmp_path: Path, transfer: int) -> None:
    pictures = [np.full((clips.HEIGHT, clips.WIDTH, 3), round(0.38 * 65535), np.uint16)] * 30
    path = clips.write(
        tmp_path / "clip.mp4",
        clips.regular(30),
        pictures=pictures,
        codec="libx265",
        pix_fmt="yuv420p10le",
        transfer=transfer,
    )
    image = next(open_clip(path).frames(128)).image
    assert image.dtype == np.uint8
    assert image.mean((0, 1)) == pytest.approx([100, 100, 100], abs=4)


def test_ten_bits_without_a_tag_are_shown_as_they_are(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), codec="libx265", pix_fmt="yuv420p10le")
    image = next(open_clip(path).frames()).image
    assert clips.corners_of(image) == {name: name for name in clips.CORNERS}


def test_standard_colours_come_through(tmp_path: Path) -> None:
    path = clips.write(tmp_path / "clip.mp4", clips.regular(30), options={"crf": "10"})
    image = next(open_clip(path).frames()).image
    for (row, column), name in zip([(10, 10), (10, -10), (-10, 10), (-10, -10)], clips.CORNERS, strict=True):
        assert image[row, column] == pytest.approx(clips.CORNERS[name], abs=8)

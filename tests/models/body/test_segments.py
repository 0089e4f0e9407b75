"""de Leva's table: what must add up, and values read in a second copy of it (BMClab, data/BSP*_ZdeLeva.txt, MIT)."""

import pytest

from models.body import MEN, WOMEN, Segment, Sex, segments


@pytest.mark.parametrize(("sex", "total"), [("men", 1.0), ("women", 0.9999), ("mean", 0.99995)])
def test_masses_make_a_body(sex: Sex, total: float) -> None:
    """de Leva 1996, table 4: the printed percentages add up to 100.00 and 99.99."""
    assert sum(s.mass * (2 if s.paired else 1) for s in segments(sex)) == pytest.approx(total, abs=1e-9)


def by_name(table: tuple[Segment, ...], name: str) -> Segment:
    return next(s for s in table if s.name == name)


@pytest.mark.parametrize(
    ("table", "name", "mass", "centre"),
    [
        (MEN, "thigh", 0.1416, 0.4095),
        (WOMEN, "thigh", 0.1478, 0.3612),
        (MEN, "trunk", 0.4346, 0.4310),
        (WOMEN, "trunk", 0.4257, 0.3782),
    ],
)
def test_rows(table: tuple[Segment, ...], name: str, mass: float, centre: float) -> None:
    segment = by_name(table, name)
    assert (segment.mass, segment.centre) == (mass, centre)


def test_trunk_is_measured_between_shoulders_and_hips() -> None:
    """Its centre from mid-shoulder, not from the notch above the breastbone (44.86 % in men)."""
    trunk = by_name(MEN, "trunk")
    assert (trunk.proximal, trunk.distal) == ("mid_shoulder", "mid_hip")


def test_mean_lies_half_way() -> None:
    assert by_name(segments("mean"), "forearm").mass == pytest.approx((0.0162 + 0.0138) / 2)

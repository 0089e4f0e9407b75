"""docs/demand.md against the code: its numbers are those of the program, its statements hold, what it names exists."""

import importlib
import re
from pathlib import Path

import pytest

from models.body import bearing, build, doubts, lengths
from models.body.athlete import ADULT, HEIGHT_U95, MASS_U95, USUAL_HEIGHT
from models.body.demand import value_of
from models.body.inverse import band_for, body_angle_for, height_for, load_for
from models.body.measured import demand_of_hold, demand_of_rep
from models.scaling import CALIBRATED, STABILITY, UNCALIBRATED
from tests.models.body.published import SOMEONE, push_up

PAGE = (Path(__file__).parents[3] / "docs" / "demand.md").read_text(encoding="utf-8")
TEXT = " ".join(PAGE.split())
ROWS = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", PAGE, re.MULTILINE))


def numbers(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize(
    ("row", "values"),
    [
        ("each segment's mass", [100 * build.MASS_U]),
        ("each segment's centre", [100 * build.CENTRE_U]),
        ("each length", [100 * build.LENGTH_U]),
        ("where hands bear; a flat foot", [100 * build.CONTACT_U, 100 * doubts.FOOT_U]),
        ("angles of the catalogue's postures", [doubts.ANGLE_U, doubts.SHOULDER_U]),
        ("a foot's angle on toes or heels; a push on the floor", [doubts.ANKLE_U, doubts.LEAN_U]),
        ("a strap's anchor", [100 * doubts.ANCHOR_U]),
        ("height, mass as told", [95, HEIGHT_U95, MASS_U95]),
        ("a band", [95, 100 * UNCALIBRATED, 100 * CALIBRATED]),
    ],
)
def test_the_uncertainties_are_those_of_the_code(row: str, values: list[float]) -> None:
    assert numbers(ROWS[row])[: len(values)] == pytest.approx(values)


def test_what_is_taken_where_nothing_is_told() -> None:
    assert f"{USUAL_HEIGHT[0]:.2f} m ± {USUAL_HEIGHT[1]:.2f} m" in TEXT
    assert f"± {100 * UNCALIBRATED:.0f} %" in ROWS["a band's calibration"]
    assert ADULT == 18
    assert "Under eighteen nothing is told" in TEXT


def test_the_contacts_are_those_of_the_code() -> None:
    assert f"{100 * lengths.CONTACTS['palm']:.0f} % of height ahead of the wrist" in TEXT
    assert f"{100 * lengths.CONTACTS['grip']:.1f} % beyond the wrist" in TEXT


def test_what_a_body_can_bear_and_how_supports_rank() -> None:
    usual = bearing.USUAL
    assert f"raises ({usual.raised}), holds ({usual.held}) or lowers ({usual.lowered})" in TEXT
    ranks = "wall 0; floor and bars 1; soft mat 2; ball and rings 3"
    assert ranks in TEXT
    assert STABILITY == {"wall": 0, "floor": 1, "bars": 1, "soft-mat": 2, "ball": 3, "rings": 3}


def test_lying_lower_legs_make_the_difference_that_is_told() -> None:
    lying, lifted = (value_of(push_up(feet="knees", knee=knee), SOMEONE, "hands", limit="hands") for knee in (30, 60))
    told = re.search(r"lower legs lying on the floor the model gives (\d+) % more", TEXT)
    assert told is not None
    assert lying - lifted == pytest.approx(float(told.group(1)), abs=0.6)


def test_the_modules_and_functions_that_it_names_exist() -> None:
    modules = re.findall(r"`(models\.[a-z_.]+)`", PAGE)
    assert len(modules) > 8
    for module in modules:
        assert importlib.import_module(module).__doc__
    for function in (demand_of_rep, demand_of_hold, body_angle_for, height_for, band_for, load_for):
        assert f"`{function.__name__}`" in PAGE or f"{function.__name__}" in PAGE


def test_no_study_is_without_its_place() -> None:
    for study in ("de Leva P (1996) J Biomech 29(9):1223-1230", "Drillis R, Contini R (1966)", "JCGM 100:2008, 5.1.2"):
        assert study in TEXT

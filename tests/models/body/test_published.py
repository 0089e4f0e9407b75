"""The model against published loads, and its table in docs/demand.md. Where it does not agree, that is tested as well."""

from pathlib import Path

import pytest

from models.body.build import Build, build_values
from models.body.demand import value_of
from models.body.doubts import inputs
from models.body.situation import solve
from tests.models.body.published import GULMEZ, MELROSE, ROWS, SAME, SOMEONE, Row, lean_back, push_up, table

DOCS = Path(__file__).parents[3] / "docs" / "demand.md"


def name(row: Row) -> str:
    return f"{row.source}, {row.what}"


@pytest.mark.parametrize("row", [row for row in ROWS if row.agrees], ids=name)
def test_the_model_stands_within_four_points_of_body_weight(row: Row) -> None:
    """Each row names its study and how far its value was verified; see tests/models/body/published.py."""
    assert abs(row.off) <= SAME


@pytest.mark.parametrize("row", [row for row in ROWS if not row.agrees], ids=name)
def test_where_the_model_does_not_agree_it_is_said(row: Row) -> None:
    assert abs(row.off) > SAME
    assert f"**{row.off:+.1f}**" in DOCS.read_text(encoding="utf-8")


def test_the_docs_show_the_table_as_it_is_now() -> None:
    assert "\n".join(table()) in DOCS.read_text(encoding="utf-8")


@pytest.mark.parametrize("sex", ["man", "woman"])
@pytest.mark.parametrize("knees", [False, True])
def test_the_order_of_the_static_table_is_kept(sex: str, *, knees: bool) -> None:
    """Mier et al. 2014: down is heavier than up, and the toes than the knees, in both sexes."""
    by_what = {row.what: row.model[0] for row in ROWS if row.source.startswith("Mier")}
    who = "men" if sex == "man" else "women"
    where = "on the knees, " if knees else ""
    assert by_what[f"{who}, {where}down"] > by_what[f"{who}, {where}up"]
    assert by_what[f"{who}, down"] > by_what[f"{who}, on the knees, down"]


def test_the_order_of_raised_push_ups_is_that_of_the_study() -> None:
    """Ebben et al. 2011: hands on 61 cm < on 30 cm < floor < feet on 30 cm < on 61 cm (abstract read)."""
    model = {row.what: max(row.model) for row in ROWS if row.source.startswith("Ebben")}
    names = ["hands on 60.96 cm", "hands on 30.48 cm", "peak of a rep", "feet on 30.48 cm", "feet on 60.96 cm"]
    assert [model[each] for each in names] == sorted(model[each] for each in names)


def test_a_push_along_the_arms_would_explain_the_hands_on_sixty_centimetres() -> None:
    """Statics leaves open how hard one pushes along the floor. A push that leans 20 degrees, less than half as much as
    the arms do, gives what was published: well within what friction and people can do."""
    setup = push_up(shoulder=90, hands_raised=0.6096)
    values = inputs(SOMEONE, "mean")
    plain = solve(setup, values)
    leaned = solve(setup, {**values, "lean": 20.0})
    assert 100 * plain.held.hands.imag > 41 + SAME
    assert 100 * leaned.held.hands.imag == pytest.approx(41, abs=1.0)
    assert plain.settled.posture.pitch > 2 * 20


def test_plumb_arms_bear_about_the_same_at_every_height() -> None:
    """All lever arms shrink alike with the cosine of the body angle, so only what sticks out of the line differs."""
    loads = [value_of(push_up(hands_raised=h), SOMEONE, "hands", limit="hands") for h in (0.0, 0.3, 0.6)]
    assert max(loads) - min(loads) < 5
    square = [value_of(push_up(hands_raised=h, shoulder=90), SOMEONE, "hands", limit="hands") for h in (0.0, 0.3, 0.6)]
    assert max(square) - min(square) > 10


LEANS = [row for row in ROWS if row.source == MELROSE]


@pytest.mark.parametrize(("anchor", "worst"), [(0.9, 1.5), (1.0, 3.2), (1.24, 6.2), (1.4, 7.9)])
def test_the_lean_depends_on_an_anchor_that_the_study_does_not_tell(anchor: float, worst: float) -> None:
    """Steep leans agree with any anchor; level ones only with one at about head height, 1.0 of stature. Usual power racks
    of 2.1 m are 1.24 statures high. The largest disagreement is stated in docs/demand.md."""
    angles = (30, 45, 60, 75)
    off = [
        value_of(lean_back(angle, anchor), SOMEONE, "hands", limit="hands") - row.published
        for angle, row in zip(angles, LEANS, strict=True)
    ]
    assert max(abs(value) for value in off[:2]) <= 5.2
    assert max(abs(value) for value in off) == pytest.approx(worst, abs=0.5)


def test_more_lean_is_more_load_in_straps() -> None:
    """Melrose & Dawes 2015 and Gulmez 2017: the nearer to level, the heavier (read)."""
    loads = [value_of(lean_back(angle, 1.0), SOMEONE, "hands", limit="hands") for angle in range(20, 80, 10)]
    assert loads == sorted(loads)


def test_no_place_of_the_hands_bears_half_a_body() -> None:
    """Why the straight elbows of Gulmez 2017 cannot be matched: even arms that reach far ahead bear more."""
    wanted = next(row.published for row in ROWS if row.source == GULMEZ and not row.agrees)
    loads = [value_of(push_up(shoulder=angle), SOMEONE, "hands", limit="hands") for angle in (70, 90, 110, 130)]
    assert loads == sorted(loads, reverse=True)
    assert min(loads) > wanted + 3


def test_women_and_men_share_lengths_but_not_masses() -> None:
    men, women = (Build.of(build_values(sex)) for sex in ("men", "women"))
    assert men.length == women.length
    assert men.mass != women.mass

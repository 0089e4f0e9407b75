"""A demand in a sentence."""

import pytest

from models.body.catalogue import demand
from models.body.words import in_words
from models.movements import load_movement
from models.quantity import Measured
from models.scaling import Partner, Scalings, StillHold
from tests.models.body.athletes import MARIT, TOMASZ


def test_a_share_of_body_weight() -> None:
    found = demand(load_movement("push-up"), TOMASZ, variant="hands-raised")
    assert isinstance(found.hands, Measured)
    assert isinstance(found.ratio, Measured)
    load, ratio = f"{found.hands.value:.0f} ± {found.hands.U95:.0f}", f"{found.ratio.value:.0f} ± {found.ratio.U95:.0f}"
    assert in_words(found) == f"{load} % of body weight at the hands, {ratio} % of the full version"


def test_a_moment_in_newton_metres_and_in_fractions() -> None:
    lever = load_movement("front-lever")
    assert "Nm at the shoulder, 60 ± 5 % of the full version, held" in in_words(demand(lever, MARIT, variant="tuck"))
    assert "% of body weight x height at the shoulder" in in_words(demand(lever, variant="tuck"))


@pytest.mark.parametrize(
    ("scalings", "end"),
    [(Scalings(), "version"), (Scalings(hold=StillHold()), ", held"), (Scalings(lowering_only=True), ", lowered only")],
)
def test_how_it_is_moved(scalings: Scalings, end: str) -> None:
    assert in_words(demand(load_movement("pull-up"), TOMASZ, scalings=scalings)).endswith(end)


def test_why_there_is_no_number() -> None:
    helped = demand(load_movement("pull-up"), TOMASZ, scalings=Scalings(partner=Partner(at="feet")))
    assert in_words(helped) == "No number: a partner helps, and nobody measured how much"

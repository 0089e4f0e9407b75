"""What one scaling asks over its range."""

import numpy as np

from models.body.athlete import Athlete
from service.pages.coach.demands import curve


def test_a_band_that_may_carry_the_whole_body_is_left_out() -> None:
    """What 61 kg can be pulled up with: a band's pull is known to 30 %."""
    found = curve("pull-up", None, "band", Athlete(height_cm=168, mass_kg=61))
    assert found.at[0] == 2.5
    assert 45 <= found.at[-1] < 61
    assert np.all(np.diff(found.value) < 0)
    assert np.all(np.isfinite(found.u95))
    assert found.told[0].startswith("2.5 kg: 96")

"""The fire line always stands; the line on distilling comes beside it."""

import numpy as np
import pytest

from herbcalc.rules import Rules
from herbcalc.show.cautions import caution, lights_at

STRENGTHS = [*np.arange(20.0, 96.6, 0.5)]


@pytest.mark.parametrize("shelf", [(40.0, 50.0), Rules().shelf], ids=str)
def test_every_strength_has_its_fire_line_whatever_the_shelf(shelf):
    for strength in STRENGTHS:
        told = caution(float(strength), shelf)
        assert told.startswith(f"The vapour of {strength:g} % vol catches fire"), strength
        point = lights_at(strength)
        assert f"{point:g} °C ({int(point * 1.8 + 32)} °F)" in told  # 55.4 °F is said as 55
        assert "no flame" in told
        assert "\n" not in told
        assert ("Never distil" in told) == (strength > max(shelf))
        assert (f"more than {max(shelf):g} % vol" in told) == (strength > max(shelf))


def test_stronger_spirit_lights_no_later():
    points = [lights_at(float(s)) for s in STRENGTHS]
    assert points == sorted(points, reverse=True)
    assert points[0] == 36
    assert points[-1] == 13

"""AS16 (quick rule): the web between two press bores by the thick ring of diameter plus two webs."""

import pytest

from headparts.mechanics.press_fit import contact_pressure, hub_hoop, hub_tresca

HEAD, BUSH, WEB = (71e3, 0.33), (125e3, 0.30), 1.70


@pytest.mark.parametrize(
    ("diameter", "throat", "tight", "hoop", "tresca"),
    [(16.5, 12.6, 0.037, 111.4, 132.0), (14.5, 10.6, 0.032, 110.2, 133.1)],
)
def test_hoop_and_tresca_of_the_web(diameter, throat, tight, hoop, tresca):
    hub = diameter + 2 * WEB
    pressure = contact_pressure(tight, diameter, throat, hub, *HEAD, *BUSH)
    assert hub_hoop(pressure, diameter, hub) == pytest.approx(hoop, abs=0.05)
    assert hub_tresca(pressure, diameter, hub) == pytest.approx(tresca, abs=0.05)
    # traps: the hoop stress alone, or p d/2 carried by one web, read well below what decides
    assert hoop < tresca - 20
    assert pressure * diameter / (2 * WEB) < hoop - 10

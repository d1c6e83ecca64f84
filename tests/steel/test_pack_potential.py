import pytest

from edgetest.steel.pack_potential import pack_potential
from edgetest.steel.phase_limits import graphite_pct, most_austenite_pct


@pytest.mark.parametrize("temperature", [760, 850, 900, 950, 1000])
def test_no_charcoal_holds_more_than_graphite_allows(temperature):
    plain, open_, rich = (pack_potential(temperature, kind) for kind in (False, None, True))
    assert plain.surface_pct <= 0.90
    assert min(plain.surface_pct, rich.surface_pct) <= open_.surface_pct
    for one in (plain, open_, rich):
        assert (
            one.surface_pct <= graphite_pct(temperature) <= most_austenite_pct(temperature) + 0.01
        )
        assert one.u_pct >= 0.15
    assert (plain.why, rich.why) == ("charcoal alone", "charcoal with an energiser")


def test_charcoal_alone_by_colvin_and_juthe():
    # "The so-called saturation point of mild steel is reached when the case contains 0.90 per
    # cent of carbon, but this amount is frequently exceeded": The Working of Steel, 1921.
    assert pack_potential(900, False).surface_pct == 0.90

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.temper_softening import CaseTemper
from edgetest.steel.wanted_edge import USUAL_EDGE, WantedEdge


def test_what_is_wanted_after_the_temper_asks_for_more_in_the_quench():
    assert USUAL_EDGE.hardness_hrc == 57
    assert 59 < USUAL_EDGE.quenched_hrc < 61
    assert as_quenched_hrc(USUAL_EDGE.carbon_pct) == pytest.approx(USUAL_EDGE.quenched_hrc, abs=0.1)
    assert WantedEdge(57, None).quenched_hrc == 57
    assert USUAL_EDGE.to_dict()["temper"]["repeats"] == 2
    assert WantedEdge(57, None).words() == "57 HRC straight from the quench"


def test_a_wish_that_no_carbon_gives_is_refused_with_the_mend():
    with pytest.raises(UnusableInput, match="no carbon gives 60 HRC after 60 min at 260 °C") as at:
        _ = WantedEdge(60, CaseTemper(260, 60, 1)).carbon_pct
    assert "temper cooler" in at.value.mend

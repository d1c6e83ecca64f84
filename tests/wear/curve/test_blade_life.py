"""In which words and values is a life told?"""

from dataclasses import replace
from math import inf

import pytest

from edgetest.wear.curve.blade_life import Life, cuts_words

LIFE = Life(300.0, 250.0, 360.0, False, False, 10.0, 5.7, 0.1, 8.0, last_stage=400.0)
LAW = replace(LIFE, cuts=900.0, low=600.0, high=1400.0)
BEYOND = replace(LIFE, low=400.0, high=inf, beyond_reach=True, by_law=LAW)


def test_a_life_that_was_read():
    assert LIFE.summary() == "300 cuts (250 to 360)"
    assert (
        replace(LIFE, extrapolated=True).summary() == "300 cuts (250 to 360, beyond the last stage)"
    )
    assert LIFE.read_cuts == 300
    assert "only_if_law_holds" not in LIFE.to_dict()
    assert replace(LIFE, high=inf).to_dict()["high"] is None


def test_a_life_beyond_reach_is_a_bound_and_the_law_s_own_word():
    assert BEYOND.read_cuts == inf
    assert BEYOND.summary().startswith(
        "more than 400 cuts, its last reading; only if the law holds"
    )
    assert BEYOND.summary(" to 8 µm").startswith("more than 400 cuts to 8 µm, its last reading;")
    assert LIFE.summary(" to 8 µm") == "300 cuts (250 to 360) to 8 µm"
    assert replace(BEYOND, low=380.0).summary().startswith("more than 380 cuts; only if")
    assert BEYOND.to_dict()["only_if_law_holds"] == {"cuts": 900, "low": 600, "high": 1400}


@pytest.mark.parametrize("law", [None, replace(LAW, cuts=inf)])
def test_where_no_law_tells_it_the_bound_stands_alone(law):
    assert replace(BEYOND, by_law=law).summary() == "more than 400 cuts, its last reading"


def test_only_a_life_beyond_reach_tells_the_law_s():
    assert "only_if_law_holds" not in replace(BEYOND, by_law=None).to_dict()
    assert "only_if_law_holds" not in replace(LIFE, by_law=LAW).to_dict()
    assert cuts_words(300.0, 250.0, 360.0, tail="; x") == "300 cuts (250 to 360; x)"

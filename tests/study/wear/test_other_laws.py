"""Where a law misfits, the laws that the readings follow are named with their option, or none."""

from types import SimpleNamespace

import pytest

from edgetest.app.page_words import on_page
from edgetest.study.wear.other_laws import fit_told_of_laws
from edgetest.wear.curve.curve_doubts import law_misfits
from edgetest.wear.curve.study_curves import FitOptions, StudyFit


def fit_of(*doubts, blades=6):
    return StudyFit("wedge", None, (None,) * blades, doubts=doubts)


def told(law, follows=(), **more):
    """The doubt of a fit by a law that misfits, and the laws that were tried beside it."""
    tried = []

    def of(_, how):
        tried.append((how.law, how.power))
        return fit_of() if how.law in follows else fit_of(law_misfits("Alike."))

    how, fits = FitOptions(limit=12.0, law=law, power=1.5), SimpleNamespace(of=of)
    (one,) = fit_told_of_laws(fit_of(law_misfits("Try."), **more), None, how, fits).doubts
    return one.text, tried


def test_a_law_that_the_readings_follow_is_named_with_its_option():
    said, tried = told("wedge", ("saturating",))
    assert tried == [("saturating", None)]
    assert "Try the law saturating, which shows no such stretch (`--law saturating`)." in said
    assert "Try the law saturating, which shows no such stretch. Trust" in on_page(said)
    said, tried = told("falling_power", ("falling_exponential", "falling_hyperbolic"))
    assert len(tried) == 2
    assert "which show no such stretch (`--law falling_exponential` or `--law falling_hyp" in said
    assert "--law" not in on_page(said)


def test_where_no_other_law_does_better_none_is_advised():
    said, _ = told("wedge")
    assert "The readings bend otherwise than the law saturating too." in said
    assert "Try" not in said


@pytest.mark.parametrize("blades", [61, 60])
def test_of_many_blades_no_other_is_tried(blades):
    said, tried = told("wedge", ("saturating",), blades=blades)
    assert bool(tried) is (blades == 60)
    assert ("than this law. Try." in said) is (blades == 61)

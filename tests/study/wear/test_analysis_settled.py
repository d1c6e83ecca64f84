"""What an analysis settles before anything is fitted: reading, limit, law, control; what not."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.study.wear.analysis import (
    AnalysisOptions,
    control_never_run,
    law_of_reading,
    reading_of,
    refuse_unknown_control,
    settled,
)


def study(**more):
    facts = {"reading_name": "edge_width_um", "limit_value": 12.0, "reference": None,
             "control": None, "plan": None, "heat_treatment_of": {"R": "hard"}.get}  # fmt: skip
    return SimpleNamespace(**facts | more)


def source(names=("edge_width_um",), *, of=None, blades=("A", "K"), rules=None):
    protocol = None if rules is None else SimpleNamespace(readings=rules)
    log = SimpleNamespace(reading_names=names, name="log.csv", rows=blades, blades=lambda: blades)
    return SimpleNamespace(log=log, study=of, protocol=protocol)


@pytest.mark.parametrize(
    ("names", "of", "reading"),
    [
        (("grade",), None, "grade"),
        (("grade", "edge_width_um"), None, "edge_width_um"),
        ((), None, "edge_width_um"),
        (("grade", "life"), study(), "life"),
        (("grade",), study(), "edge_width_um"),
        (("grade",), study(reading_name="grade"), "grade"),
    ],
)
def test_a_source_is_about_one_reading(names, of, reading):
    assert reading_of(source(names, of=of)) == reading


def test_several_readings_of_a_log_alone_are_to_be_chosen_from():
    with pytest.raises(UnusableInput, match="several readings: grade, depth_mm") as met:
        reading_of(source(("grade", "depth_mm")))
    assert met.value.mend == "choose the reading, such as grade"


@pytest.mark.parametrize(
    ("asked", "of", "limit"),
    [
        ({}, study(), 12.0),
        ({"limit": 9.0}, study(), 9.0),
        ({"limit": "0,009 mm"}, study(), 9.0),
        ({"limit_of_fresh": 2.0}, study(), None),
        ({"reading": "w30_um"}, study(), None),
        ({}, study(limit_value="scrapes"), None),
        ({}, None, None),
        ({"limit": "9 um"}, None, 9.0),
    ],
)
def test_the_limit_is_the_one_asked_for_or_the_study_s(asked, of, limit):
    found = settled(source(of=of), AnalysisOptions(**asked)).limit
    assert found == (None if limit is None else pytest.approx(limit))


def test_a_limit_of_counts_has_no_unit_and_a_word_is_no_limit():
    counts = AnalysisOptions(reading="chips_count", limit="3")
    assert settled(source(), counts).limit == 3.0
    with pytest.raises(UnusableInput, match=r"limit \(--limit\)") as met:
        settled(source(), AnalysisOptions(limit="dull"))
    assert "(--reading grade)" in met.value.mend


def test_control_and_reference_are_the_study_s_where_none_is_asked():
    of = study(control="K", reference="R")
    found = settled(source(of=of), AnalysisOptions())
    assert (found.control, found.reference) == ("K", "hard")
    asked = settled(source(of=of), AnalysisOptions(control="A", reference="soft"))
    assert (asked.control, asked.reference) == ("A", "soft")
    gone = settled(source(of=study(control="C")), AnalysisOptions())
    assert gone.control is None


def test_a_control_that_was_named_and_never_cut_is_doubted():
    assert codes(control_never_run(source(of=study(control="C")))) == ("control_never_run",)
    for of in (study(control="K"), study(), None):
        assert control_never_run(source(of=of)) == ()
    assert control_never_run(source(of=study(control="C"), blades=())) == ()


def test_a_control_that_was_asked_for_must_have_been_cut():
    refuse_unknown_control(source(), None)
    refuse_unknown_control(source(), "K")
    with pytest.raises(UnusableInput, match='there is no blade "C" in the log') as met:
        refuse_unknown_control(source(), "C")
    assert "A, K" in met.value.mend


def rule(name, *, law=None, unit="", dulling="rises"):
    return SimpleNamespace(name=name, law=law, unit=unit, dulling=dulling)


@pytest.mark.parametrize(
    ("reading", "rules", "law"),
    [
        ("edge_width_um", None, "wedge"),
        ("x_um", [rule("x_um", unit="µm")], "wedge"),
        ("x_gf", [rule("x_gf", unit="gf")], "saturating"),
        ("x_gf", [rule("x_gf", unit="gf", dulling="falls")], "falling_exponential"),
        ("x_gf", [rule("x_gf", law="power")], "power"),
        ("x_gf", [rule("other", law="power")], "wedge"),
    ],
)
def test_a_reading_has_its_protocol_s_law_or_the_usual_one(reading, rules, law):
    assert law_of_reading(source(rules=rules), reading) == law


def test_a_law_of_the_other_direction_is_refused():
    falls = [rule("x_gf", dulling="falls")]
    assert law_of_reading(source(), "edge_width_um", "saturating") == "saturating"
    assert law_of_reading(source(rules=falls), "x_gf", "falling_power") == "falling_power"
    with pytest.raises(UnusableInput, match="no law of a reading that falls as"):
        law_of_reading(source(rules=falls), "x_gf", "saturating")
    with pytest.raises(UnusableInput, match="no law of a reading that rises as"):
        law_of_reading(source(), "edge_width_um", "falling_power")

"""What a plan starts from: asked for, read, or usual, each said; from a source made by hand."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.store.cells import parse_reading
from edgetest.study.wear import expectations as module
from edgetest.study.wear.expectations import believed_of
from edgetest.study.wear.kept_repeats import KeptRepeats
from edgetest.study.wear.measured_life import MeasuredLife

WIDTH = SimpleNamespace(
    name="edge_width_um", title="edge width", unit="µm", at_stations=True,
    repeats=1, law="wedge", dulling="rises",
)  # fmt: skip
FORCE = SimpleNamespace(
    name="sever_force_gf", title="force", unit="gf", at_stations=False, repeats=3, law=None,
    dulling="rises",
)  # fmt: skip


def row(value, cuts=0, *, exclude="", name="edge_width_um"):
    return SimpleNamespace(
        cuts=cuts, exclude=exclude, readings={name: parse_reading(str(value), "um")}
    )


@pytest.fixture
def believed(monkeypatch, tmp_path):
    def of(*rows, reading="edge_width_um", limit=12.0, graded=False, kept=None, stages=(0, 50, 300),
           lasted=None, **asked):  # fmt: skip
        monkeypatch.setattr(module, "reading_of", lambda _: reading)
        monkeypatch.setattr(module, "gives_lives", lambda *_: graded)
        monkeypatch.setattr(module, "law_of_reading", lambda *_: "wedge")
        monkeypatch.setattr(module, "kept_repeats", lambda _: kept or {})
        monkeypatch.setattr(module, "measured_life", lambda *_: lasted)
        rules = {rule.name: rule for rule in (WIDTH, FORCE)}
        protocol = SimpleNamespace(stages=stages, reading=rules.get, stations_mm=(20, 40, 60))
        source = SimpleNamespace(
            protocol=protocol, log=SimpleNamespace(rows=rows), title="Rope", path=tmp_path,
            study=SimpleNamespace(limit_value=limit, reading_name=reading),
        )  # fmt: skip
        options = {"life": None, "limit": None, "fresh": None, "reading_cv": None} | asked
        return believed_of(source, SimpleNamespace(**options), 0.2, 5.0)

    return of


def test_a_blade_is_thought_to_last_two_thirds_of_the_last_stage(believed):
    found = believed()
    assert found.life == 200.0
    assert believed(life=150.0).life == 150.0
    assert found.sampling.cuts == (0, 50, 300)
    assert (found.sampling.stations, found.sampling.repeats) == (3, 1)
    assert found.expected.sd_df == 5.0
    assert "photographs" in found.words.readings


def test_a_blade_is_thought_to_last_as_long_as_those_of_the_log_unless_somebody_says(believed):
    found = believed(lasted=MeasuredLife(231.0, 4))
    assert (found.life, found.expected.seen.life, found.life_assumed) == (231.0, 231.0, False)
    asked = believed(lasted=MeasuredLife(231.0, 4), life=150.0)
    assert (asked.life, asked.lasted) == (150.0, None)


def test_a_fresh_edge_reads_what_was_asked_seen_or_usual(believed):
    usual = believed()
    assert (usual.fresh, "fresh_assumed" in codes(usual.doubts)) == (2.5, True)
    rows = [row(2.0), row(3.0), row(2.2), row(9.0, exclude="slip"), row(9.0, 50), row("<1")]
    seen = believed(*rows)
    assert seen.fresh == 2.2
    assert "fresh_assumed" not in codes(seen.doubts)
    asked = believed(*rows, fresh=3)
    assert (asked.fresh, codes(asked.doubts)) == (3.0, ("reading_assumed",))


def test_the_limit_is_asked_for_or_the_study_s(believed):
    assert believed(limit=12).expected.wear.limit == 12.0
    with pytest.raises(UnusableInput, match="at which edge width a blade's life ends") as met:
        believed(limit=None)
    assert "--limit in µm" in met.value.mend
    with pytest.raises(UnusableInput, match="edge width"):
        believed(limit=2.0)  # sharper than the fresh edge


def test_a_reading_is_as_good_as_asked_measured_or_assumed(believed):
    assumed = believed()
    assert (assumed.reading_cv, assumed.reading_cv_from) == (0.05, "assumed")
    (text,) = [one.text for one in assumed.doubts if one.code == "reading_assumed"]
    assert "5 %" in text
    given = believed(reading_cv=0.03)
    assert (given.reading_cv, given.reading_cv_from) == (0.03, "given")
    kept = KeptRepeats(
        sd_repeat=0.24, sd_reproduce=0.3, relative=False, mean=8.0, readings=12, df=10
    )
    known = believed(kept={"edge_width_um": kept})
    assert known.reading_cv == pytest.approx(0.24 / 12)
    assert known.reading_cv_from == "repeatability.toml (12 readings)"
    assert known.expected.wear.reading_cv == known.reading_cv
    for found in (given, known):
        assert "reading_assumed" not in codes(found.doubts)


def test_another_reading_needs_its_fresh_value(believed):
    with pytest.raises(UnusableInput, match="what a fresh edge reads in force") as met:
        believed(reading="sever_force_gf", limit=200.0)
    assert met.value.mend == "give --fresh in gf"
    found = believed(reading="sever_force_gf", limit=200.0, fresh=100.0)
    assert (found.sampling.stations, found.sampling.repeats) == (1, 3)
    assert found.unit == "gf"
    assert found.words.readings == "stations, stages or readings"


def test_grades_are_checked_at_the_stages_and_noted_lives_are_not(believed):
    graded = believed(reading="grade", graded=True)
    assert graded.sampling.cuts == (0, 50, 300)
    assert graded.expected.seen.checks == (0.0, 50.0, 300.0)
    assert graded.reading_cv is None
    noted = believed(reading="life", graded=True)
    assert noted.sampling.cuts == (200.0,)
    assert noted.expected.seen.checks == ()

"""Repeatability kept with a study: what writes it, what reads it, and that it is said."""

import json
from datetime import date

import numpy as np
import pytest

from edgetest.cli.root import main
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.own_protocols import known_protocols
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.kept_repeats import REPEATS_FILE, keep_repeats, kept_repeats
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import make_plan
from edgetest.study.wear.repeats import repeatability_of
from edgetest.wear.plan.repeatability import repeatability

REPEATS = "operator,edge_width_um\na,5.0\na,5.2\na,5.1\nb,5.3\nb,5.5\nb,5.4\n"
LOG = "blade,cuts,edge_width_um\n" + "".join(
    f"A1,{cuts},{width}\n"
    for cuts, width in ((0, "<2.5"), (10, 4.2), (25, 6.1), (50, 8.4), (100, 11.6), (200, 16.4))
)


@pytest.fixture
def study(tmp_path):
    made = new_study(tmp_path / "mine", "sisal_rope", "mine", blades=["A1"])
    (made.folder / "log.csv").write_text(LOG, encoding="utf-8")
    return made.folder


def run(*arguments):
    with pytest.raises(SystemExit) as end:
        main([str(each) for each in arguments])
    return end.value.code


def spread(values=(5.0, 5.2, 5.1, 5.3), **options):
    return repeatability(values, **{"relative": True} | options)


def test_what_is_kept_is_read_back(study):
    keep_repeats(study, "edge_width_um", spread(), table="repeats.csv", on=date(2026, 5, 4))
    kept = kept_repeats(study)["edge_width_um"]
    assert kept.sd_repeat == pytest.approx(np.log([5.0, 5.2, 5.1, 5.3]).std(ddof=1), rel=1e-5)
    assert (kept.df, kept.relative) == (3, True)
    assert kept.words() == "4 readings, repeats.csv, 2026-05-04"


def test_another_reading_stands_beside_and_the_same_is_replaced(study):
    keep_repeats(study, "edge_width_um", spread())
    keep_repeats(study, "sever_force_gf", spread((200, 210, 205), relative=False))
    keep_repeats(study, "edge_width_um", spread((5.0, 5.1)))
    kept = kept_repeats(study)
    assert kept["edge_width_um"].readings == 2
    assert kept["sever_force_gf"].relative_at(250.0) == pytest.approx(5.0 / 250)


def test_a_study_without_it_has_none(study):
    assert kept_repeats(study) == {}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("edge_width_um = 3", "edge_width_um: is not a table"),
        ("[edge_width_um]\nsd_repeat = 0", "sd_repeat"),
        ("[edge_width_um]\nsd_repeet = 0.1", "did you mean sd_repeat"),
        (f"[edge_width_um]\ndf = 1{'0' * 400}", "is not at most 100000"),
    ],
)
def test_a_fault_of_the_file_is_named_by_table_and_key(study, text, words):
    (study / REPEATS_FILE).write_text(text, encoding="utf-8")
    with pytest.raises(UnusableInput) as fault:
        kept_repeats(study)
    assert words in "\n".join(map(str, getattr(fault.value, "faults", (fault.value,))))


def test_what_a_study_does_not_read_is_not_kept(study):
    with pytest.raises(UnusableInput, match='"depth_mm" is not read in this study'):
        keep_repeats(study, "depth_mm", spread())


def test_it_is_no_protocol(study):
    keep_repeats(study, "edge_width_um", spread())
    assert REPEATS_FILE not in known_protocols(study)


def test_typed_readings_take_their_uncertainty_from_it_and_it_is_said(study):
    before = analyse(open_source(study), AnalysisOptions(limit=12), compare=False)
    assert all(np.isnan(each.relative_u) for each in before.readings)
    keep_repeats(study, "edge_width_um", spread((4.0, 5.0, 6.0)), on=date(2026, 5, 4))
    after = analyse(open_source(study), AnalysisOptions(limit=12), compare=False)
    sd = np.log([4.0, 5.0, 6.0]).std(ddof=1)
    assert [each.relative_u for each in after.readings] == pytest.approx([sd] * 6, rel=1e-5)
    (said,) = [one for one in after.study_doubts if one.code == "repeatability_used"]
    assert "3 readings, 2026-05-04" in said.text
    lives = [fit["A1"].life.by_law for fit in (before.fit, after.fit)]
    width = [np.log(life.high / life.low) for life in lives]
    assert width[1] > width[0]  # readings that repeat so badly cannot be as good as they look


def test_a_spread_in_the_readings_unit_is_a_share_of_each_reading(study):
    found = spread((5.0, 5.2), relative=False)
    keep_repeats(study, "edge_width_um", found)
    used = analyse(open_source(study), AnalysisOptions(limit=12), compare=False).readings
    expected = [found.sd_repeat / (e.value if e.value == e.value else e.upper) for e in used]
    assert [each.relative_u for each in used] == pytest.approx(expected, rel=1e-5)


def test_the_plan_takes_it_unless_it_is_told_otherwise(study):
    source = open_source(study)
    assumed = make_plan(source)
    assert (assumed.believed.reading_cv, assumed.believed.reading_cv_from) == (0.05, "assumed")
    keep_repeats(study, "edge_width_um", spread())
    kept = make_plan(source)
    assert kept.believed.reading_cv == pytest.approx(spread().sd_repeat, rel=1e-5)
    assert "by repeatability.toml (4 readings" in kept.summary()
    assert kept.need.chosen.reading_se < assumed.need.chosen.reading_se
    given = make_plan(source, PlanOptions(reading_cv=0.02))
    assert given.to_dict()["reading_cv_from"] == "given"


def test_a_bound_among_repeats_is_told_from_a_misspelt_number(tmp_path):
    path = tmp_path / "repeats.csv"
    path.write_text("edge_width_um\n5.1\n<2\n5.0\n8-10\n5.o\n", encoding="utf-8")
    with pytest.raises(ManyFaults) as faults:
        repeatability_of(path)
    bound, between, misspelt = map(str, faults.value.faults)
    assert '"<2" is a bound' in bound
    assert "leave all rows of this one out" in bound
    assert '"8-10" is a bound' in between
    assert '"5.o" holds a letter' in misspelt


def test_a_study_with_its_own_repeats_keeps_what_comes_of_them(study, capsys):
    (study / "repeats.csv").write_text(REPEATS, encoding="utf-8")
    assert run("repeatability", study, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["saved"] == str(study / REPEATS_FILE)
    kept = kept_repeats(study)["edge_width_um"]
    assert (kept.people, kept.table) == (2, "repeats.csv")
    assert kept.sd_repeat == pytest.approx(told["sd_repeat"], rel=1e-5)
    assert run("fit", study, "--limit", "12") == 0
    assert "6 readings by 2 people, repeats.csv" in capsys.readouterr().out


def test_a_table_alone_keeps_nothing_and_a_study_without_one_says_so(study, tmp_path, capsys):
    path = tmp_path / "repeats.csv"
    path.write_text(REPEATS, encoding="utf-8")
    assert run("repeatability", path, "--json") == 0
    assert json.loads(capsys.readouterr().out)["saved"] is None
    assert not (study / REPEATS_FILE).exists()
    assert run("repeatability", study) == 2
    assert "there is no repeats.csv" in capsys.readouterr().err
    assert run("repeatability", path, "--save", study) == 0
    assert (study / REPEATS_FILE).exists()

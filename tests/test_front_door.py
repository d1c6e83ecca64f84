"""The front door: what `import edgetest` offers, what it takes, and what it loads."""

import inspect
import subprocess
import sys

import numpy as np
import pandas as pd
import pytest

import edgetest as et
from edgetest.store.places import shipped

HEAVY = ("cv2", "matplotlib", "pandas", "scipy.optimize", "scipy.stats", "statsmodels", "streamlit")
CUTS = (0, 25, 50, 100, 200)
WIDTHS = {"soft": (2.5, 6.1, 8.2, 11.5, 16.2), "hard": (2.4, 5.2, 6.9, 9.4, 13.1)}


def frame(**changed):
    """A log of four blades as a DataFrame."""
    rows = [
        {"blade": f"{name[0]}{i}", "heat_treatment": name, "cuts": cuts,
         "edge_width_um": width * (1 + 0.02 * i)}
        for name, widths in WIDTHS.items()
        for i in (1, 2)
        for cuts, width in zip(CUTS, widths, strict=True)
    ]  # fmt: skip
    return pd.DataFrame(rows).assign(**changed)


def run(code):
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def loaded_after(code, names):
    return run(f"import sys\n{code}\nprint(*[name for name in {names!r} if name in sys.modules])")


def test_importing_the_package_loads_neither_numpy_nor_scipy():
    assert loaded_after("import edgetest", ("numpy", "scipy", "click", "pydantic")) == []


def test_a_csv_is_compared_without_what_it_does_not_need(tmp_path):
    path = tmp_path / "log.csv"
    frame().to_csv(path, index=False)
    code = f"import edgetest as et\nassert et.compare({str(path)!r}, limit=12).ratio.estimate > 1"
    assert loaded_after(code, HEAVY) == []
    command = f"""
from edgetest.cli import main
import contextlib, io
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    main(["compare", {str(path)!r}, "--limit", "12", "--json"])
"""
    assert loaded_after(command, HEAVY) == []


def test_every_name_it_offers_is_there_and_typed():
    assert dir(et) == sorted(et.__all__)
    for name in et.__all__:
        assert callable(getattr(et, name))
    with pytest.raises(AttributeError, match="no attribute 'judge'"):
        et.judge  # noqa: B018
    shown = inspect.getsource(et).split("_PLACES = {")[0]
    assert all(f" import {name} as {name}\n" in shown for name in et.__all__)


@pytest.mark.parametrize("first", ["pass", "import edgetest.chop.wood, edgetest.report.wording"])
def test_a_verb_is_itself_whether_or_not_the_room_of_its_name_is_loaded(first):
    code = f"""
{first}
from edgetest import chop, report
import inspect, pickle, pydoc
import edgetest as et

def whole():
    for name, verb in (("chop", chop), ("report", report)):
        now = getattr(et, name)
        assert pickle.loads(pickle.dumps(now)) is verb is now
        assert inspect.isfunction(verb) and "level" in inspect.signature(verb).parameters
        shown = pydoc.plain(pydoc.render_doc(now))
        assert "function " + name + " in" in shown and "level" in shown and "Raises" in shown

def called():
    for verb in (et.chop, et.report):
        try:
            verb("nowhere")
        except et.UnusableInput as fault:
            print(fault.where)

whole()
called()
import edgetest.chop.wood, edgetest.report.wording
import edgetest.report.wording as wording
assert edgetest.chop.wood.__name__ == "edgetest.chop.wood" and edgetest.chop.wood.wood_of_species
assert edgetest.report.wording is wording and wording.chance_words
whole()
called()
from edgetest import chop as again, report as told
assert again is chop and told is report
"""
    assert run(code) == ["nowhere"] * 4


def test_the_version_is_that_of_the_installed_package():
    from importlib.metadata import version

    assert et.__version__ == version("edgetest")
    assert loaded_after("import edgetest", ("importlib.metadata",)) == []


def test_a_data_frame_is_a_log(tmp_path):
    path = tmp_path / "log.csv"
    frame().to_csv(path, index=False)
    from_file, from_frame = et.compare(path, limit=12), et.compare(frame(), limit=12)
    assert from_frame.ratio == from_file.ratio
    assert from_frame.comparison.to_dict() == from_file.comparison.to_dict()


def test_whole_cuts_that_became_floats_and_blanks_that_became_nan_are_read():
    log = frame(station_mm=np.nan).astype({"cuts": float})
    assert et.compare(log, limit=12).ratio == et.compare(frame(), limit=12).ratio


def test_faults_of_a_data_frame_are_named_by_row_and_column_all_at_once():
    log = frame().astype({"edge_width_um": object, "cuts": object})
    log.loc[3, "edge_width_um"], log.loc[5, "cuts"] = "wide", "many"
    with pytest.raises(et.ManyFaults) as caught:
        et.compare(log, limit=12)
    wheres = [fault.where for fault in caught.value.faults]
    assert "data frame, row 5, edge_width_um" in wheres
    assert "data frame, row 7, cuts" in wheres
    with pytest.raises(et.ManyFaults):
        et.read_log(log)


def test_a_log_that_was_read_is_taken_by_the_other_verbs():
    log = et.read_log(frame())
    assert et.compare(log, limit=12).ratio == et.compare(frame(), limit=12).ratio
    table = log.to_frame()
    assert set(table.columns) == {"line", *frame().columns}
    assert table.edge_width_um.tolist() == frame().edge_width_um.tolist()
    bound = et.read_log(frame(edge_width_um="<2.5")).to_frame()
    assert set(bound.edge_width_um) == {"<2.5"}


def test_a_chop_log_is_known_by_its_columns():
    path = shipped("sample_runs") / "camp_hatchet_study" / "chops.csv"
    rows = pd.read_csv(path, dtype=str)
    assert et.chop(rows).report.counts.to_dict() == et.chop(path).report.counts.to_dict()


@pytest.mark.parametrize("given", [3, None, ["a.csv", "b.csv"]])
def test_what_is_no_log_is_said_to_be_none(given):
    with pytest.raises(et.UnusableInput, match="is not a log"):
        et.compare(given)


def test_an_answer_has_its_ratio_doubts_and_a_row_for_each_blade():
    answer = et.compare(frame(), limit=12)
    table = answer.to_frame()
    assert list(table.blade) == ["s1", "s2", "h1", "h2"]
    assert list(table.heat_treatment) == ["soft", "soft", "hard", "hard"]
    assert ((table.low < table.life_cuts) & (table.life_cuts < table.high)).all()
    codes = [doubt.code for doubt in answer.doubts]
    assert "few_blades" in codes  # of the comparison
    assert {d.where.blade for d in answer.doubts if d.code == "one_station"} == {*table.blade}
    assert [d.gravity for d in answer.doubts] == sorted(
        (d.gravity for d in answer.doubts), key=("decides", "limits", "notes").index
    )
    assert answer.to_dict()["doubts"] == [one.to_dict() for one in answer.doubts]


def test_without_two_heat_treatments_there_is_no_ratio_and_the_doubt_says_why():
    answer = et.compare(frame(heat_treatment="soft"), limit=12)
    assert answer.ratio is None
    assert answer.doubts[0].code == "no_comparison"
    assert "all blades have one heat treatment" in answer.summary()


def test_plot_draws_what_a_result_is_on_the_axes_it_is_given():
    from matplotlib.figure import Figure

    answer = et.compare(frame(), limit=12)
    ax = Figure().subplots()
    assert et.plot(answer, ax=ax) is ax
    assert [label.get_text() for label in ax.get_yticklabels()][:2] == ["s1", "s2"]
    assert et.plot(answer.comparison).get_xscale() == "log"
    assert et.plot(answer.fit["h1"]).get_title("left") == "h1"


def test_what_has_no_figure_is_said():
    with pytest.raises(et.UnusableInput, match="str has no figure"):
        et.plot("a picture")


@pytest.mark.parametrize("ax", ["x", [1, 2]])
def test_what_is_no_axes_is_said(ax):
    with pytest.raises(et.UnusableInput, match=r"^ax: .* is no Axes; give one of matplotlib"):
        et.plot(et.fit(frame(), limit=12).fit["h1"], ax=ax)


@pytest.mark.parametrize("level", [95, 0.5, 1, 0, float("nan"), "0.95"])
def test_a_level_that_is_none_is_refused_by_every_verb_that_has_one(level, tmp_path):
    grades = tmp_path / "grades.csv"
    grades.write_text("blade,cuts,pass_fail\nA,50,pass\nA,75,fail\n", encoding="utf-8")
    hatchets = shipped("sample_runs") / "camp_hatchet_study"
    billhooks = shipped("sample_runs") / "billhook_temper_study"
    for verb, log in (
        (et.fit, frame()),
        (et.compare, frame()),
        (et.fit, grades),
        (et.chop, hatchets),
        (et.plan, billhooks),
        (et.report, hatchets),
    ):
        with pytest.raises(et.UnusableInput, match=r"^level: .* is no level; give a share such as"):
            verb(log, level=level)


@pytest.mark.parametrize("margin", [10, 1, 0, -0.1, float("inf"), "10 %"])
def test_a_margin_that_the_command_refuses_is_refused(margin):
    with pytest.raises(et.UnusableInput, match=r"^margin: .* is no margin; give a share such as"):
        et.compare(frame(), limit=12, margin=margin)


def test_a_wrong_reading_is_mended_in_words_that_serve_notebook_and_command():
    with pytest.raises(et.UnusableInput) as caught:
        et.fit(frame(), reading="sever_force_gf", limit=12)
    assert str(caught.value).endswith("or ask for the reading edge_width_um")


def test_a_sample_run_is_a_copy_to_write_into(tmp_path):
    folder = et.sample_run("plough_disc_study", tmp_path / "mine")
    assert (folder / "study.toml").is_file()
    with pytest.raises(et.UnusableInput, match="known: billhook_temper_study"):
        et.sample_run("spoon_study")


@pytest.mark.usefixtures("measured_copies")
def test_one_thing_may_stand_where_several_may():
    study = et.sample_run("billhook_temper_study")
    alone = et.plan(study, blocks="AB", history=str(study))
    assert {run.block for run in alone.runs} == {"AB"}
    assert alone.history == et.plan(study, blocks="AB", history=[study]).history
    pack = {"thickness_mm": 1, "temperature_c": 900, "hours": 4}
    later = (850, 0.5, "sealed")
    one, alone = et.case(**pack, then=[later]), et.case(**pack, then=later)
    assert alone.to_dict() == one.to_dict()
    one, alone = et.case(**pack, diffusivities=["agren"]), et.case(**pack, diffusivities="agren")
    assert list(alone.to_dict()["by_diffusivity"]) == ["agren"]
    assert alone.to_dict() == one.to_dict()
    one, alone = et.compare(frame(), limit=12, also=(8,)), et.compare(frame(), limit=12, also=8)
    assert alone.comparison_to_dict() == one.comparison_to_dict()
    one, alone = (et.compare(frame(), limit=12, history=each) for each in ([study], study))
    assert alone.comparison_to_dict() == one.comparison_to_dict()


def test_every_result_has_doubts_a_summary_and_plain_values():
    import json

    from edgetest.doubts import Doubt

    billhooks, hatchets = (
        shipped("sample_runs") / name for name in ("billhook_temper_study", "camp_hatchet_study")
    )
    side = hatchets / "photos" / "H1_after_heel.jpg"
    for found in (
        et.read_log(frame()),
        et.read_log(hatchets / "chops.csv"),
        et.fit(frame(), limit=12),
        et.plan(billhooks),
        et.scale(billhooks / "photos" / "micrometer.jpg", pitch_um=10),
        et.profile(side, 8),
        et.profile(billhooks / "photos" / "micrometer.jpg", 8),
        et.case(thickness_mm=1, temperature_c=900, hours=4),
    ):
        assert all(isinstance(one, Doubt) for one in found.doubts)
        assert found.summary()
        assert json.loads(json.dumps(found.to_dict(), allow_nan=False))


def test_a_side_view_that_was_refused_gives_its_reason_as_a_doubt_that_decides(tmp_path):
    import cv2

    path = tmp_path / "grey.png"
    cv2.imwrite(str(path), np.full((300, 300), 90, np.uint8))
    found = et.profile(path, 8)
    assert not found.measured
    assert [(one.gravity, one.where.file) for one in found.doubts] == [("decides", "grey.png")]


def test_a_log_tells_its_rows_without_blanks():
    log = et.read_log(frame())
    assert log.summary() == "data frame: log of 20 rows on 4 blades"
    row = {"line": 2, "blade": "s1", "cuts": 0, "heat_treatment": "soft", "edge_width_um": 2.55}
    assert log.to_dict()["rows"][0] == row


def test_a_plan_is_drawn_as_the_chance_of_seeing_the_difference():
    ax = et.plot(et.plan(shipped("sample_runs") / "billhook_temper_study"))
    assert (ax.get_xlabel(), ax.get_ylabel()) == (
        "blades in each heat treatment",
        "chance of seeing it (%)",
    )

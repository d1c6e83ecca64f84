"""A day on which some blades were read with another thread or scale is told with its size."""

import csv
import io

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import comparison_of, curves_of
from tests.study.wear.logs_of_wedges import log_of, wedge_log
from tests.study.wear.test_page_one_true_sentences import words_of

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

SOFT = {("soft", "S1"): 150, ("soft", "S2"): 170, ("soft", "S3"): 160, ("soft", "S4"): 155}
HARD = {("hard", "H1"): 200, ("hard", "H2"): 230, ("hard", "H3"): 210, ("hard", "H4"): 220}
LIVES = SOFT | HARD
ODD = ("S1", "H1")
HALF = ("S1", "S2", "H1", "H2")
CODES = ("day_shifts_readings", "day_shifts_widths", "days_read_apart")


def source(tmp_path, times, *, day="2 grey", seed=3, stages=(50,), blades=ODD, out="", cv=0.03):
    """Stages up to 25 on day 1, the others on day 2; those of `blades` at `stages` on `day`."""
    text = wedge_log(LIVES, {"soft": 3.0, "hard": 3.0}, cv=cv, rng=np.random.default_rng(seed))
    rows = list(csv.DictReader(io.StringIO(text)))
    for row in rows:
        row["day"] = "1" if float(row["cuts"]) < 50 else "2"
        if row["blade"] in blades and float(row["cuts"]) in stages:
            row |= {
                "day": day,
                "edge_width_um": float(row["edge_width_um"]) * times,
                "exclude": out,
            }
    fields = ["blade", "heat_treatment", "cuts", "day", "edge_width_um", "exclude"]
    lines = [fields, *([row.get(each, "") for each in fields] for row in rows)]
    return open_source(log_of(tmp_path, "\n".join(",".join(map(str, one)) for one in lines) + "\n"))


def shifts(doubts):
    return [one for one in doubts if one.code in CODES]


def test_the_odd_day_is_told_with_its_size_and_is_not_corrected(tmp_path):
    found = curves_of(source(tmp_path, 1.3))
    (told,) = shifts(found.fit.doubts)
    assert told.where.value == "2 grey"
    assert told.where.stage == 50
    assert told.text.startswith("Widths of day 2 grey (at 50 cuts) lie +2")
    assert "the rows count" in told.text
    rows = {row.line: float(row.readings["edge_width_um"].value) for row in found.log.rows}
    assert [each.value for each in found.readings] == [rows[each.line] for each in found.readings]


def test_the_comparison_tells_it_too(tmp_path):
    (told,) = shifts(comparison_of(source(tmp_path, 1 / 1.3, cv=0.01)).doubts)
    assert "(at 50 cuts) lie -2" in told.text


@pytest.mark.parametrize("times", [1.3, 1 / 1.3])
def test_neither_side_is_named_as_wrong_where_both_hold_as_many_blades(tmp_path, times):
    """Whichever of two hands is off, the rows look alike: none is bidden to be left out."""
    for day in ("2 grey", "1 early"):
        log = source(tmp_path, times, day=day, blades=HALF, cv=0.01)
        (told,) = shifts(curves_of(log).fit.doubts)
        assert told.code == "days_read_apart"
        assert "these rows alone cannot tell which of them are right" in told.text
        assert "gets sharper" in told.text
        assert "exclude" not in told.text


def test_a_thread_force_is_not_asked_for_its_microscope(tmp_path):
    log = source(tmp_path, 1.3, cv=0.01)
    text = log.path.read_text("utf-8").replace("edge_width_um", "sever_force_gf")
    (told,) = shifts(curves_of(open_source(log_of(tmp_path, text, "force.csv"))).fit.doubts)
    assert told.code == "day_shifts_readings"
    assert "the thread" in told.text
    assert "microscope" not in told.text
    assert "idth" not in told.text


@pytest.mark.parametrize(
    "change",
    [
        {"times": 1.0},
        {"times": 1.3, "out": "grey spool"},
        {"times": 1.3, "day": "2"},
        {"times": 1.3, "blades": ("S1",)},
        {"times": 1.3, "blades": tuple(blade for _, blade in LIVES)},
    ],
    ids=["no shift", "left out", "not noted", "one blade", "all blades of the stage"],
)
def test_no_day_is_told(tmp_path, change):
    assert not shifts(curves_of(source(tmp_path, **change)).fit.doubts)


@pytest.mark.parametrize("times", [1.0, 1.35])
def test_a_day_of_whole_runs_is_not_judged_by_the_one_blade_that_was_cut_on_both(tmp_path, times):
    """Rolls were cut a day each; one run of the second roll went on in the morning."""
    text = wedge_log(LIVES, {"soft": 3.0, "hard": 3.0}, cv=0.02, rng=np.random.default_rng(4))
    rows = list(csv.DictReader(io.StringIO(text)))
    for row in rows:
        late = row["blade"] in ("S3", "H2") or (row["blade"] == "H3" and float(row["cuts"]) >= 50)
        row["day"] = "2" if late else "1"
        if late and row["blade"] == "H3":
            row["edge_width_um"] = f"{float(row['edge_width_um']) * times:.4f}"
    fields = ["blade", "heat_treatment", "cuts", "day", "edge_width_um"]
    lines = [",".join(fields), *(",".join(row[each] for each in fields) for row in rows)]
    log = open_source(log_of(tmp_path, "\n".join(lines) + "\n"))
    assert not shifts(curves_of(log).fit.doubts)


def test_days_that_part_one_stage_are_told_once_by_the_smaller(tmp_path):
    doubts = shifts(curves_of(source(tmp_path, 1.4, stages=(200,), blades=("S1", "H1"))).fit.doubts)
    assert [one.where.value for one in doubts] == ["2 grey"]


def test_studies_without_a_shift_are_seldom_told_one(tmp_path, monkeypatch):
    monkeypatch.setattr("edgetest.study.wear.analysis.rank_laws", lambda *asked, **more: ())
    told = sum(
        bool(shifts(curves_of(source(tmp_path, 1.0, seed=seed)).fit.doubts)) for seed in range(20)
    )
    assert told <= 1


def study_of(folder, log):
    """A study of the log's blades; the scale of its widths may be 1 % off."""
    blades = [{"id": blade, "heat_treatment": name} for name, blade in LIVES]
    new_study(folder, "sisal_rope", "Two tempers", blades=blades,
              heat_treatments=[{"id": "soft"}, {"id": "hard"}])  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(log.path.read_text("utf-8"))))
    columns = ["blade", "cuts", "day", "edge_width_um"]
    lines = [",".join(columns), *(",".join(row[name] for name in columns) for row in rows)]
    (folder / "log.csv").write_text("\n".join(lines) + "\n", "utf-8")
    said_of_scale(folder, 0.01)
    return folder


def said_of_scale(folder, relative_u):
    toml = folder / "study.toml"
    lines = [x for x in toml.read_text("utf-8").splitlines() if not x.startswith("typed_scale_u")]
    toml.write_text("\n".join([f"typed_scale_u = {relative_u}", *lines]) + "\n", "utf-8")


def test_a_customer_is_not_asked_which_loupe_it_was(tmp_path, run):
    folder = study_of(tmp_path / "s", source(tmp_path, 1.3))
    toml = folder / "study.toml"
    toml.write_text("limit = 12.0\n" + toml.read_text("utf-8"), "utf-8")
    code, _, err = run("report", folder, "--to", folder / "out")
    assert code == 0, err
    customers, _, makers = words_of(folder / "out" / "comparison.html").partition("To the maker")
    assert "Widths of day 2 grey (at 50 cuts) lie +" in customers
    assert "Nothing is corrected: the rows count." in customers
    assert "Was the scale or the microscope" not in customers
    assert "exclude on its rows" not in customers
    assert "Was the scale or the microscope of day 2 grey another?" in makers
    assert "divided by the mean ratio of several edges" in makers


def test_widths_divided_by_an_own_ratio_are_told_by_what_the_guide_says(tmp_path, run, answer):
    """The day falls silent; the ratio's uncertainty widens every life and leaves the ratio."""
    folder = study_of(tmp_path / "s", source(tmp_path, 1.3))
    assert "divided by the mean ratio" in run("compare", folder, "--limit", 12)[1]
    log = folder / "log.csv"
    rows = list(csv.DictReader(io.StringIO(log.read_text("utf-8"))))
    for row in rows:
        if row["day"] == "2 grey":
            row["edge_width_um"] = f"{float(row['edge_width_um']) / 1.3:.4f}"
    lines = [",".join(rows[0]), *(",".join(row.values()) for row in rows)]
    log.write_text("\n".join(lines) + "\n", "utf-8")
    found = []
    for relative_u in (0.01, 0.025):
        said_of_scale(folder, relative_u)
        found.append(answer("compare", folder, "--limit", 12, "--json"))
        codes = {one["code"] for one in found[-1]["doubts"]}
        assert not codes.intersection(CODES)
        assert "typed_scale" in codes
    ends = [[group["life"]["high"] / group["life"]["low"] for group in one["groups"]]
            for one in found]  # fmt: skip
    assert all(wide > narrow for narrow, wide in zip(*ends, strict=True))
    ratios = [[one["ratio"][key] for key in ("estimate", "low", "high")] for one in found]
    assert ratios[0] == pytest.approx(ratios[1])


@pytest.mark.parametrize(
    "question",
    [
        "may I divide the widths of a second loupe that reads 8 % high",
        "readings of two loupes",
        "two microscopes on different days",
    ],
)
def test_the_guide_answers_who_read_with_two_loupes(run, question):
    code, text, _ = run("guide", *question.split())
    assert code == 0
    assert "Widths read by two loupes, scales or microscopes" in text

"""What a curve expects of a reading that has no say in it: one number, in fit and comparison."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import Where, doubt
from edgetest.study.sources import open_source
from edgetest.study.wear import expected_without as module
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.expected_without import expected_without
from tests.study.wear.logs_of_wedges import log_of, wedge_log


class Columns:
    def __init__(self, rows, blades=1):
        self.row, self.blade = np.array(rows), [f"B{n}" for n in range(blades)]

    def take(self, index):
        return Columns(self.row[index], len(self.blade))


def odd(row, blade="B0"):
    where = Where("log.csv", row, blade, 50.0, 9.0, 5.0)
    return doubt("outlying_reading", where=where, met="9", cuts="50", expected="5")


def told(monkeypatch, flagged, *, blades=1, curve=True):
    """Rows that were left out at each fit, and the doubts."""
    left = []

    def fit(columns, _):
        left.append(sorted(set(range(1, 12)) - set(columns.row.tolist())))
        one = SimpleNamespace(blade="B0", psi=[1.0] * curve,
                              predict=lambda _: SimpleNamespace(value=[4.4]))  # fmt: skip
        return SimpleNamespace(blades=[one])

    monkeypatch.setattr(module, "fit_study", fit)
    return left, expected_without(flagged, Columns(range(1, 12), blades), None)


def test_each_of_a_few_is_expected_by_the_curve_without_it(monkeypatch):
    left, (one, two) = told(monkeypatch, [odd(3), odd(5)])
    assert left == [[3], [5]]
    assert (one.where.row, one.where.expected, two.where.row) == (3, 4.4, 5)
    assert "about 4.4 (by the curve without it) is expected" in one.text


@pytest.mark.parametrize(("rows", "blades"), [((1, 2, 3, 4, 5), 60), ((3, 5), 61)])
def test_many_are_expected_by_the_curves_without_all_of_them(monkeypatch, rows, blades):
    left, doubts = told(monkeypatch, [odd(row) for row in rows], blades=blades)
    assert left == [list(rows)]
    assert {one.where.expected for one in doubts} == {4.4}


def test_where_too_little_is_left_for_a_curve_the_doubt_stays(monkeypatch):
    assert told(monkeypatch, [odd(3)], curve=False)[1] == [odd(3)]
    assert told(monkeypatch, [odd(3, "B7")])[1] == [odd(3, "B7")]
    assert told(monkeypatch, []) == ([], [])


def test_fit_and_comparison_expect_one_number_of_a_row(tmp_path, monkeypatch):
    lives = {(name, f"{name}{i}"): life + 5 * i
             for name, life in (("S", 95), ("H", 240)) for i in range(3)}  # fmt: skip
    lines = wedge_log(lives, {"S": 2.4, "H": 2.4}).splitlines()
    blade, treatment, cuts, width = lines[9].split(",")
    lines[9] = f"{blade},{treatment},{cuts},{1.2 * float(width):.4f}"
    source = open_source(log_of(tmp_path, "\n".join(lines) + "\n"))
    kept, made = module.fit_study, []

    def counted(columns, how):
        made.append((columns.row.tolist(), how))
        return kept(columns, how)

    monkeypatch.setattr(module, "fit_study", counted)
    told = {
        (one.where.row, one.where.expected, one.text)
        for compare in (False, True)
        for one in analyse(source, AnalysisOptions(limit=12.0), compare=compare).doubts
        if one.code == "outlying_reading"
    }
    ((row, expected, text),) = told
    assert row == 10
    assert expected == pytest.approx(float(width), rel=0.03)
    assert f"about {expected:.3g} (by the curve without it) is expected" in text
    # Once for `fit`, once for `compare`: what the comparison leaves out is not fitted again. The
    # robust fit, which looks for hidden readings, has its say on all rows.
    by_robust = {how.robust: [] for _, how in made}
    for rows, how in made:
        by_robust[how.robust].append(10 in rows)
    assert by_robust == {False: [False, False], True: [True, True]}


def test_the_same_readings_are_fitted_once_and_by_another_way_anew(monkeypatch):
    made = []
    monkeypatch.setattr(module, "fit_study", lambda columns, how: made.append(how) or object())
    fits, some = module.Fits(), Columns([1, 2, 3])
    first = fits.of(some, "one way")
    assert fits.of(Columns([1, 2, 3]), "one way") is first
    assert fits.of(some, "another way") is not first
    assert fits.of(Columns([1, 2]), "one way") is not first
    assert fits.of(Columns([1, 2, 3], blades=2), "one way") is not first  # their names put right
    assert made == ["one way", "another way", "one way", "one way"]

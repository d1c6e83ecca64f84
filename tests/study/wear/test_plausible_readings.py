"""Readings and limits that no edge has are named, with what would mend them."""

import pytest
from click.testing import CliRunner

from edgetest.cli.root import edgetest
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import log_of, wedge_log

LIVES = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
LIVES |= {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 1.03))}
LOG = wedge_log(LIVES, {"soft": 2.4, "hard": 2.4})


FOUR = {run: life for run, life in LIVES.items() if run[1][1] != "2"}


def with_reading(row, reading):
    """A log of four blades with another last cell in a row, the heading being row 1."""
    lines = wedge_log(FOUR, {"soft": 2.4, "hard": 2.4}).splitlines()
    lines[row - 1] = f"{lines[row - 1].rpartition(',')[0]},{reading}"
    return "\n".join(lines) + "\n"


def codes(result):
    return [one.code for one in result.doubts if one.code.startswith("implausible")]


@pytest.mark.parametrize("reading", ["0.002", "5000"])
def test_a_width_that_no_edge_has_is_named_by_row(tmp_path, reading):
    path = log_of(tmp_path, with_reading(3, reading))
    said = CliRunner().invoke(edgetest, ["compare", str(path), "--limit", "12"])
    assert said.exit_code == 0
    line = next(line for line in said.output.splitlines() if "in another unit" in line)
    assert "row 3, " in line
    assert "(0.05 to 200 µm)" in line  # as the log asks about it


def test_a_limit_that_no_edge_has_is_named(tmp_path):
    source = open_source(log_of(tmp_path, LOG))
    assert codes(analyse(source, AnalysisOptions(limit=1e6))) == ["implausible_limit"]
    assert codes(analyse(source, AnalysisOptions(limit=0.012))) == ["implausible_limit"]
    assert codes(analyse(source, AnalysisOptions(limit=12))) == []


def test_an_excluded_reading_is_not_named(tmp_path):
    lines = with_reading(3, "5000").splitlines()
    lines = [f"{lines[0]},exclude", *(f"{line}," for line in lines[1:])]
    lines[2] += "mistyped"
    result = analyse(
        open_source(log_of(tmp_path, "\n".join(lines) + "\n")), AnalysisOptions(limit=12)
    )
    assert codes(result) == []

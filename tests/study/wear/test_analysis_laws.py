"""Laws of the reading, ranked on what was read."""

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import log_of, wedge_log


def test_the_laws_of_the_reading_are_ranked_with_the_true_one_first(tmp_path):
    lives = {("soft", f"A{i}"): 100.0 for i in range(3)}
    lives |= {("hard", f"B{i}"): 160.0 for i in range(3)}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}, cv=0.002))
    result = analyse(open_source(path), AnalysisOptions(limit=12))
    assert result.laws[0].law.startswith("wedge")

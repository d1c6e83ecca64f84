"""What `fit` says is said of heat treatments by their titles."""

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import wedge_log

STUDY = """
title = "Tempers (invented)"
protocol = "sisal_rope"
[[heat_treatments]]
id = "soft"
title = "temper 260 °C"
[[heat_treatments]]
id = "hard"
title = "temper 190 °C"
"""


def test_the_powers_are_told_under_the_titles(tmp_path):
    lives = {("soft", f"A{i}"): 100.0 + 9 * i for i in range(2)}
    lives |= {("hard", f"B{i}"): 160.0 + 9 * i for i in range(2)}
    blades = [f'[[blades]]\nid = "{b}"\nheat_treatment = "{t}"\n' for t, b in lives]
    (tmp_path / "study.toml").write_text(STUDY + "".join(blades), encoding="utf-8")
    rows = wedge_log(lives, {"soft": 2.4, "hard": 2.4}, cv=0.02).replace(",heat_treatment", "")
    rows = rows.replace(",soft,", ",").replace(",hard,", ",")
    (tmp_path / "log.csv").write_text(rows, encoding="utf-8")
    words = analyse(open_source(tmp_path), AnalysisOptions(limit=12)).curve_words()
    (line,) = [one for one in words.splitlines() if one.startswith("power of the wear law")]
    assert "temper 260 °C: " in line
    assert "temper 190 °C: " in line
    assert "soft" not in line

"""A sheet whose intervals are narrower, as its pieces were so alike, says so in its method."""

from dataclasses import replace

from edgetest.doubts import doubt
from edgetest.report.documents.chopper_sheet import sheet_contents
from edgetest.store.document_wishes import settings_of
from tests.report.documents.hook_logs import analysed


def log(step):
    return "".join(
        f"{blade},billet,{count + step * ((n + count) % 2)},50,50,white ash,12,,{board},,\n"
        for n, board in enumerate("abcdefgh")
        for blade, count in (("T1", 25), ("C1", 32))
    )


def annex(found):
    return str(sheet_contents(found, "T1", settings_of(found.study), day="2026-11-02").annex)


def test_intervals_that_are_narrower_for_even_counts_are_told_as_such(tmp_path):
    found = analysed(tmp_path, log(1))
    assert "Intervals are narrower for it (T1 over C1" in found.summary()
    assert "even blows. The interval of its ratio is narrower for it." in annex(found)
    unowed = replace(found, doubts=(doubt("underdispersed", narrower=""),))
    assert "even blows. That alone would make the intervals narrower." in annex(unowed)
    assert "narrower" not in annex(analysed(tmp_path, log(20)))

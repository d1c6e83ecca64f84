"""The foot of page one: what dulling does to the strokes stands there, not in the method."""

from edgetest.report.documents.chopper_last_columns import last_columns
from edgetest.report.documents.chopper_words import first_doubts
from edgetest.store.document_wishes import settings_of
from tests.report.documents.hook_logs import analysed

EVEN = "".join(
    f"{blade},billet,{count + n % 2},50,50,white ash,12,,{board},,\n"
    for n, board in enumerate("abcdefgh")
    for blade, count in (("T1", 25), ("C1", 32))
)


def test_whether_the_edges_dull_is_told_on_page_one_for_a_tool_that_severed_pieces(tmp_path):
    found = analysed(tmp_path, EVEN)
    told = str(last_columns(found, "T1", settings_of(found.study)))
    assert "As edges dull" in told
    assert found.report.counts.dulling_words().split(", ", 1)[1] in told
    looked_at = analysed(tmp_path, EVEN + "D2,inspection,,,,,,,,0,0\n")
    assert "As edges dull" not in str(last_columns(looked_at, "D2", settings_of(found.study)))


def test_a_sheet_whose_intervals_are_narrower_for_even_counts_says_so(tmp_path):
    lines = [line for lines in first_doubts(analysed(tmp_path, EVEN), "T1") for line in lines]
    (told,) = (line for line in lines if "pure luck" in line)
    assert "Intervals are narrower for it (" in told
    assert "you" not in told.split()

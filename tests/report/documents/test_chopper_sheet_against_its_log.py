"""Chopper's sheet: every sentence and number of its PDF is borne by the log it was made from."""

import pytest

from tests.benchmarks.sheet_judge import contradictions, sheet_of

LOGS = [
    *range(4),
    *(pytest.param(number, marks=pytest.mark.slow) for number in range(4, 20)),
]


@pytest.mark.parametrize("number", LOGS)
def test_no_sentence_contradicts_its_log(number, tmp_path):
    """Mixed logs: inches, strange woods, standing pieces, touch-ups, no swing, many scripts."""
    sheet, facts, answer = sheet_of(number, tmp_path)
    assert [str(c) for c in contradictions(sheet, facts, answer)] == []


def test_a_name_in_another_script_stands_on_the_page_for_browsers(tmp_path):
    """What the fonts of the PDF cannot print is whole in the HTML beside it."""
    sheet, facts, _ = sheet_of(18, tmp_path)
    name = facts.study["document"]["customer"]
    page = next((tmp_path / "sheets").glob("*.html")).read_text(encoding="utf-8")
    assert "山田 太郎" in name
    assert name in page
    assert name in sheet.whole or "letters that no" in " ".join(sheet.foot.split())

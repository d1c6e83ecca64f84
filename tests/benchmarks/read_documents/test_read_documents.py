"""Nothing stands in the document of a comparison that its log and facts do not bear.

A few studies of the hundred that `tests.benchmarks.document_judge` reads; and lies that the reader
must see, for a reader that finds nothing proves nothing.
"""

from dataclasses import replace

import pytest

from tests.benchmarks.read_documents.page_judge import case_of, untruths
from tests.study.blank_figures import leave_blank

SEEDS = (12, 22)  # few rows each: two heat treatments, and one alone
LIES = {
    "a stage that was never left out": ("not read at", "not read at 77,"),
    "another limit": ("a blade's life ends at 1", "a blade's life ends at 11"),
    "another count of readings": (" in use", "1 in use"),
    "a heat treatment of another time": (", soak 8 min", ", soak 9 min"),
    "the other heat treatment": ("Hard", "Soft"),
    "a title": ("Billhooks of one", "Sickles of one"),
}


@pytest.fixture(scope="module", params=SEEDS)
def case(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("study") / "it"
    with pytest.MonkeyPatch.context() as patch:
        leave_blank(patch)
        return case_of(request.param, folder), folder / "documents" / "comparison.pdf"


def test_every_sentence_of_page_and_pdf_is_borne_by_the_log(case):
    assert untruths(*case) == []


def test_lies_are_seen(case):
    """Of each sentence that stands in this document, the same with a lie in it is found."""
    told, _ = case
    lies = [lie for lie in LIES.values() if any(lie[0] in block.text for block in told.blocks)]
    assert len(lies) >= 3
    for true, false in lies:
        blocks = [replace(block, text=block.text.replace(true, false)) for block in told.blocks]
        assert untruths(replace(told, blocks=blocks)), (true, false)

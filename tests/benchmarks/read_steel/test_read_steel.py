"""Nothing stands on the page of a found steel that its maker's notes do not bear.

One of the studies that `tests.benchmarks.steel_page_judge` reads; and lies that the reader sees.
"""

from dataclasses import replace

import pytest

from tests.benchmarks.read_steel.judged_page import read_steel, untruths

SEEDS = (2,)
LIES = (
    ("coupon K1", "coupon K9"), ("800 °C", "810 °C"), ("820 °C", "840 °C"), ("mild bar", "a bar"),
    ("coating not looked at", "coating none"), ("the magnet lets go", "the magnet holds"),
    ("into warm water", "into oil"), ("under 40 HRC", "over 65 HRC"), (" HRC below", " HRC on"),
    ("1 of 3 cracked", "2 of 3 cracked"), ("soaked 12 min", "soaked 5 min"), ("8 mm", "9 mm"),
    ("(25 °F)", "(57 °F)"), ("is 91 %", "is 81 %"), ("right 98 %", "right 50 %"),
    ("hand tool", "leaf spring"), ("hedging tool", "chopper"), ("grain medium", "grain fine"),
)  # fmt: skip


@pytest.fixture(scope="module", params=SEEDS)
def page(request, tmp_path_factory):
    return read_steel(request.param, tmp_path_factory.mktemp("steel") / "it")


def test_every_sentence_is_borne_by_the_notes(page):
    assert untruths(*page) == []


def test_lies_are_seen(page):
    """Of each sentence that stands on this page, the same with a lie in it is found."""
    steel, blocks, told = page
    lies = [lie for lie in LIES if any(lie[0] in block.text + block.head for block in blocks)]
    assert len(lies) > len(LIES) / 2
    for true, false in lies:
        turned = [
            replace(b, text=b.text.replace(true, false), head=b.head.replace(true, false))
            for b in blocks
        ]
        assert untruths(steel, turned, told), (true, false)

"""What README and guide say in numbers is what their tables and the program hold today."""

import pytest

from tests.guide.claimed import CLAIMS
from tests.guide.claims import pages_by_name, prose, untold
from tests.guide.measure import MOST_WORDS
from tests.guide.not_claims import NOT_CLAIMS

TEXTS = {name: prose(text) for name, text in pages_by_name().items()}
BY_HAND = [name for name in TEXTS if name == "README" or name.split("/")[0] in MOST_WORDS]


def not_claimed(page):
    """The words of a page whose numbers claim nothing."""
    return [words for pages in NOT_CLAIMS.values() for words in pages.get(page, ())]


@pytest.mark.parametrize("claim", CLAIMS, ids=lambda claim: f"{claim.page}: {claim.words[:40]}")
def test_a_claim_stands_on_its_page_with_todays_numbers(claim):
    said = claim.said()
    mend = f'{claim.page} must say "{said}": mend the page, or its entry in tests/guide/claimed'
    assert said in TEXTS[claim.page], mend


@pytest.mark.parametrize("page", BY_HAND)
def test_every_number_of_a_page_is_a_claim_or_said_to_be_none(page):
    told = [claim.said() for claim in CLAIMS if claim.page == page] + not_claimed(page)
    found = list(untold(TEXTS[page], told))
    assert not found, f"{page}: tie each to a figure in tests/guide/claimed, or say in not_claims"


def test_words_without_a_claim_stand_on_their_pages():
    gone = [
        f"{page}: {words}"
        for pages in NOT_CLAIMS.values()
        for page, told in pages.items()
        for words in told
        if words not in TEXTS[page]
    ]
    assert not gone


def test_a_number_is_seen_in_digits_and_in_words():
    text = prose(
        "## 1. Cut\n\n1. Of **1,200** [tests](x_9.md) `--n 7` held 93.8 %; H1 and W30 twice.\n"
        "One draw of four, three times, one blade of each, a half-mirror, eight letters.\n"
        "```sh\nsleep 5\n```\n"
    )
    seen = [found.split("|")[0] for found in untold(text, ["held 93.8 %"])]
    assert len(seen) == 5
    assert not any("93.8" in found[40:-40] for found in seen)

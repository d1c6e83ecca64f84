"""What README and guide say in numbers is what their tables and the program hold today."""

import pytest

from tests.guide.claimed import CLAIMS
from tests.guide.claims import pages_by_name, prose

TEXTS = {name: prose(text) for name, text in pages_by_name().items()}


@pytest.mark.parametrize("claim", CLAIMS, ids=lambda claim: f"{claim.page}: {claim.words[:40]}")
def test_a_claim_stands_on_its_page_with_todays_numbers(claim):
    said = claim.said()
    mend = f'{claim.page} must say "{said}": mend the page, or its entry in tests/guide/claimed'
    assert said in TEXTS[claim.page], mend

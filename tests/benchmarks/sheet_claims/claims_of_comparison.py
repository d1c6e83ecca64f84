"""Is what the sheet tells of the comparison blade's edge that blade's own, and all of it told?"""

import re

from tests.benchmarks.sheet_claims.claims_of_damage import CLAIMS as OF_DAMAGE
from tests.benchmarks.sheet_claims.claims_of_numbers import numbers
from tests.benchmarks.sheet_claims.claims_typed import edge_length
from tests.benchmarks.sheet_claims.sheet_text import Contradiction, SheetText

UNSEEN = "nobody looked at its edge"
MARK = re.compile(r"^The\s+comparison\s+blade,.*?,\s+after\b", re.DOTALL)
HELD = (*(claim for claim in OF_DAMAGE if claim.__name__ not in ("limit", "touched")), edge_length)


def comparison(sentences, facts, told=None):
    """Each sentence is borne by the log of the blade that it names, and none is missing."""
    said = set()
    for sentence in sentences:
        whose = next((other for other in facts.beside if _names(sentence, other.tool)), None)
        if whose is None:
            yield Contradiction("comparison", sentence.prose, "names no blade of the shop's own")
            continue
        said.add(whose.tool)
        yield from _held(sentence, whose, told)
    for other in facts.beside:
        if (other.pieces or other.of_kind("single")) and other.tool not in said:
            yield Contradiction("comparison", "", f"not a word of the edge of {other.tool}")


def _names(sentence, tool):
    """Whether the sentence says that it is of this blade."""
    pattern = rf"Beside it, {re.escape(tool)}(?: \(|,|:)"
    return re.match(pattern, sentence.prose) is not None


def _held(sentence, other, told):
    """One sentence against the log of the blade that it names."""
    denied = UNSEEN in sentence.prose
    if denied == bool(other.looks):
        why = "looked at" if other.looks else "not looked at"
        yield Contradiction("comparison", sentence.prose, f"{other.tool} was {why}")
    if denied:
        return
    own = SheetText(MARK.sub("After", sentence.whole))
    yield from (one for claim in HELD for one in claim(own, other))
    if told is not None:
        yield from numbers(own, other, told)

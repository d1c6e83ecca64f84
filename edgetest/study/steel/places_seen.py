"""In which pieces, coupons and heats was something seen, in words that stay short?"""

import re
from collections.abc import Iterable, Mapping, Sequence

from edgetest.doubts import Doubt
from edgetest.steel.contradictions import Contradiction
from edgetest.study.words import listed

TYPED_WRONG = (
    "First see whether a number was mistyped: --replace puts it right. See whether a reading was "
    "typed of the wrong coupon: --remove takes its row out, and it is typed anew."
)
OF_ANOTHER = (  # what one reading typed of another coupon brings about
    "alike_differ", "faster_softer", "few_sparks_hard", "many_sparks_soft", "tempered_harder",
    "one_heat_hard_and_soft",
)  # fmt: skip
MANY_PAIRS = 3  # of one heat, from which the others are told by their pieces and coupons alone
_SENTENCE = re.compile(r"(?<=\.)\s+(?=[A-Z])")
_HEAT = re.compile(r"piece (.+), coupon (.+), heat \d+")


def broken_told(unmended: Iterable[Contradiction]) -> list[str]:
    """Each sentence of what does not fit once, with its cures and the places that they are for.

    Behind the first of those that a reading of another coupon would explain, that is asked.
    """
    told: dict[str, dict[str, list[str]]] = {}
    asked = False
    for one in unmended:
        said = one.doubt.text.removesuffix(one.cure).rstrip()
        if one.code in OF_ANOTHER and (not asked or f"{said} {TYPED_WRONG}" in told):
            said, asked = f"{said} {TYPED_WRONG}", True
        told.setdefault(said, {}).setdefault(one.cure, []).append(one.doubt.where.blade or "")
    return [with_cures(said, cures) for said, cures in told.items()]


def with_cures(said: str, cures: Mapping[str, Sequence[str]]) -> str:
    """What does not fit, once, and with each cure the places that it is for."""
    if len(cures) == 1:
        ((cure, places),) = cures.items()
        return f"{' '.join(filter(None, (said, cure)))} Seen in: {places_in_words(places)}."
    own, shared = _ends_apart(list(cures))
    seen_in = map(places_in_words, cures.values())
    each = (f"Seen in {place}: {cure}" for place, cure in zip(seen_in, own, strict=True))
    return " ".join((said, *each, *shared))


def _ends_apart(cures: Sequence[str]) -> tuple[list[str], list[str]]:
    """Cures without the sentences at their end that all of them share, and these once."""
    split = [_SENTENCE.split(cure) for cure in cures]
    most = min(map(len, split)) - 1  # each place keeps a cure of its own
    alike = 0
    while alike < most and len({words[-1 - alike] for words in split}) == 1:
        alike += 1
    kept = [len(words) - alike for words in split]
    own = [" ".join(words[:n]) for words, n in zip(split, kept, strict=True)]
    return own, split[0][kept[0] :]


def places_in_words(places: Iterable[str]) -> str:
    """Places one after the other; a heat held against many others is named once with all these."""
    found: dict[str, list[str]] = {}
    for place in places:
        first, both, other = place.partition(" and piece ")
        found.setdefault(first, []).append(f"piece {other}" if both else "")
    return "; ".join(word for first, others in found.items() for word in _beside(first, others))


def _beside(first: str, others: Sequence[str]):
    """One heat with what it was held against: each pair by itself, or many of them at once."""
    if len(others) < MANY_PAIRS:
        return [f"{first} and {other}" if other else first for other in others]
    told = (_HEAT.sub(r"\1 (\2)", other) for other in others if other)
    return [f"{first}, beside {listed(list(dict.fromkeys(told)))}"]


def with_places(doubts: Iterable[Doubt], remarks: Iterable[Doubt]) -> list[str]:
    """Each doubt's sentence once; of remarks on what was seen with all places where it was."""
    places: dict[str, list[str]] = {}
    noted = tuple(remarks)
    for one in doubts:
        here = places.setdefault(one.text, [])
        if one.where.blade and one in noted and one.where.blade not in here:
            here.append(one.where.blade)
    return [
        f"{text} Seen in: {places_in_words(at)}." if at else text for text, at in places.items()
    ]

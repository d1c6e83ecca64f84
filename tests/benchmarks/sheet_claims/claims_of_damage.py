"""Is the damage on the sheet what was seen at the looks, and no more?"""

import re

from tests.benchmarks.sheet_claims.claims_of_strokes import COUNT, whole
from tests.benchmarks.sheet_claims.sheet_text import Contradiction

KINDS = {"chip": "chips", "roll": "rolls"}
ASIDE = re.compile(r"limit|protocol|per 100|per 3|still allows|photograph", re.IGNORECASE)


def counts_of(looks, field):
    """Counts written at these looks."""
    return [getattr(look, field) for look in looks if getattr(look, field) is not None]


def worst_of_edges(facts, field, looks=None):
    """The worst written of each edge, edges parted by touching up."""
    edges: dict = {}
    for look in facts.looks if looks is None else looks:
        count = getattr(look, field)
        if count is not None:
            edges[look.edge] = max(edges.get(look.edge, 0), count)
    return list(edges.values())


def counts(sheet, facts):
    """Every count of chips or rolls was written at a look, or is what all edges come to."""
    for noun, field in KINDS.items():
        seen = set(counts_of(facts.looks, field))
        worst = worst_of_edges(facts, field)
        allowed = seen | {sum(worst)}
        before = counts_of([k for k in facts.looks if k.in_all == 0], field)
        if before:
            allowed |= {w - before[0] for w in [*worst, sum(worst)]}
        for sentence, found in sheet.holding(rf"\b{COUNT} (?:new )?{noun}s?\b"):
            if ASIDE.search(sentence):
                continue
            if not seen:
                yield Contradiction("damage", sentence, f"nobody wrote down {field}")
            elif whole(found[1]) not in allowed:
                yield Contradiction("damage", sentence, f"{found[0]}: written were {sorted(seen)}")


def denied(sheet, facts):
    """No damage is denied that was written; 'after N' speaks of the worst up to there."""
    for noun, field in KINDS.items():
        worst = worst_of_edges(facts, field)
        for sentence, _ in sheet.holding(rf"\bno (?:new )?{noun}s?\b"):
            early = re.search(r"before the (?:test|first)", sentence, re.IGNORECASE)
            if max(worst, default=0) > 0 and not early and not ASIDE.search(sentence):
                yield Contradiction("denied", sentence, f"up to {max(worst)} {field} were written")
        told = re.search(rf"{COUNT} (?:new )?{noun}", sheet.prose, re.IGNORECASE)
        if max(worst, default=0) > 0 and not told:
            yield Contradiction("denied", "", f"{max(worst)} {field} were written: not a word")


def limit(sheet, facts):
    """Whether the protocol's limit was reached agrees with the worst that was written."""
    chips = max(worst_of_edges(facts, "chips"), default=None)
    for sentence, found in sheet.holding(r"limit of (\d+) (?:chips? )?is (not )?reached"):
        reached = chips is not None and chips >= int(found[1])
        if bool(found[2]) == reached:
            yield Contradiction("limit", sentence, f"the worst written is {chips} chips")


def after(sheet, facts):
    """'After N strokes' is a number of strokes at which somebody looked, or all of them."""
    marks = {look.strokes for look in facts.looks} | {look.in_all for look in facts.looks}
    done = sum(p.strokes for p in facts.all_pieces) + len(facts.of_kind("single"))
    marks |= {done, facts.strokes, facts.strokes + len(facts.of_kind("single"))}
    stood = [p.strokes for p in facts.pieces if p.standing]
    marks |= {*stood, sum(stood), *facts.touched_after}
    for sentence, found in sheet.holding(r"\bafter (\d[\d,]*) (?:strokes|chops)"):
        if whole(found[1]) not in marks:
            yield Contradiction("after", sentence, f"no look and no end at {found[1]} strokes")


def worst_up_to(sheet, facts):
    """'After N strokes: K chips' tells the worst written up to there, of one edge or of all."""
    for noun, field in KINDS.items():
        pattern = rf"\bafter (\d[\d,]*) (?:strokes|chops)[^.;]*?\b{COUNT} (?:new )?{noun}s?\b"
        for sentence, found in sheet.holding(pattern):
            until = whole(found[1])
            looks = [k for k in facts.looks if until in (k.strokes, k.in_all) or k.in_all <= until]
            worst = worst_of_edges(facts, field, looks)
            if not worst or ASIDE.search(found[0]):
                continue
            before = max(counts_of([k for k in looks if k.in_all == 0], field), default=0)
            allowed = {*worst, sum(worst)} | {w - before for w in (*worst, sum(worst))}
            if whole(found[2]) not in allowed:
                why = f"the worst written up to {until} strokes is {max(worst)} {field}"
                yield Contradiction("worst", sentence, why)


def new(sheet, facts):
    """Damage is called new only where a look before the first stroke, or a first that saw none,
    shows that it is."""
    if any(look.in_all == 0 for look in facts.looks):
        return
    for noun, field in KINDS.items():
        first = next(iter(counts_of(sorted(facts.looks, key=lambda k: k.in_all), field)), None)
        for sentence, found in sheet.holding(rf"\b(?:\d+|no) new {noun}s?"):
            if first != 0:
                why = f"{found[0]}: the edge was not looked at before"
                yield Contradiction("new", sentence, why)


def unseen(sheet, facts):
    """Where nobody looked, the sheet says so."""
    if facts.looks or facts.of_kind("inspection"):
        return
    listed = re.search(r"Not tested\s[^.]*\bchips\b[^.]*\brolls\b", sheet.prose, re.I)
    said = r"not looked|nobody looked|no look|not (?:measured|noted|inspected|counted|examined)"
    near = [s for s in sheet.sentences if re.search(r"chip|damage|edge", s, re.IGNORECASE)]
    if not listed and not any(re.search(said, s, re.IGNORECASE) for s in near):
        yield Contradiction(
            "unseen", "", "nobody looked at the edge, and the sheet does not say so"
        )


def largest(sheet, facts):
    """A largest chip is the largest that was written."""
    sizes = [k.largest for k in facts.looks if k.largest]
    for sentence, found in sheet.holding(r"largest[^.;]{0,30}?(\d+(?:\.\d+)?) (mm|in)\b"):
        value = float(found[1]) * (25.4 if found[2] == "in" else 1)
        if not sizes:
            yield Contradiction("largest", sentence, "no size of a chip was written")
        elif min(abs(value - s) for s in sizes) > (0.15 if found[2] == "in" else 0.051):
            yield Contradiction("largest", sentence, f"written were {sorted(set(sizes))} mm")


def touched(sheet, facts):
    """Touching up is told where it is logged, and nowhere else."""
    told = [s for s in sheet.sentences if re.search(r"touch(?:ed|ing)[ -]?up", s, re.IGNORECASE)]
    if facts.touch_ups and not told:
        yield Contradiction("touched up", "", "a touch-up is logged: not a word of it")
    for sentence in told:
        asked = re.search(r"\?|log it|if it|since the last", sentence)
        if not facts.touch_ups and not asked:
            yield Contradiction("touched up", sentence, "no touch-up is logged")


CLAIMS = (counts, denied, limit, after, worst_up_to, new, unseen, largest, touched)

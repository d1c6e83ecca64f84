"""Where does every number on the sheet come from? Typed, counted, or a figure of the JSON."""

import re
from itertools import accumulate
from math import ceil, floor, isfinite, pi

from tests.benchmarks.sheet_claims.claims_of_strokes import sums, typed_words
from tests.benchmarks.sheet_claims.log_facts import amount
from tests.benchmarks.sheet_claims.sheet_text import Contradiction

TOKEN = re.compile(r"(?<![\w.])\d+(?:,\d{3})*(?:\.\d+)?(?: \d/\d)?(?!\w)")
FRACTION = re.compile(r"\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?")
# Numbers that belong to a unit or to the way a figure is told, not to this tool.
WAYS_OF_TELLING = re.compile(
    r"100 cm²|10 by 10 cm|per 100\b|in 100 (?:chops|strokes)|each 100\b|95 %|at most 1 of 20|"
    r"Pieces up to 6 %|"
    r"per 10 cm\b|per 3\.94 in|\(3\.94 in\)|per 4 in|\d of \d\b(?=\s*$)|\b\d{4}-\d\d-\d\d\b"
)
SIDE = (
    "x_mm",
    "shape",
    "doubts",
    "warnings",
    "pieces",
    "single_chops",
    "looks",
    "reaction",
    "what_if",
)


def figures(told, tool):
    """Values and ends of all estimates of this tool in the JSON document."""
    if isinstance(told, list):
        for item in told:
            yield from figures(item, tool)
    if not isinstance(told, dict):
        return
    name = told.get("blade", told.get("name", tool))
    if name != tool and "heat" not in str(told.get("scope", "")):
        return
    if {"first", "second", "ratio"} <= set(told):  # may be told either way round
        ends = [told["ratio"].get(k) for k in ("value", "low", "high")]
        yield from (1 / end for end in ends if end)
    for key, value in told.items():
        if key in SIDE:
            continue
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            yield float(value)
        else:
            yield from figures(value, tool)


def counted_numbers(facts):
    """Sums, counts and running counts of the log."""
    strokes = [p.strokes for p in facts.pieces]
    yield from strokes
    yield from (n for pair in sums(facts) for n in pair)
    yield from (*facts.touched_after, sum(p.strokes for p in facts.pieces if p.standing))
    yield from accumulate(p.strokes for p in facts.all_pieces)
    yield from range(len(facts.all_pieces) + 1)
    for look in facts.looks:
        yield from (look.strokes, look.in_all)
    yield from (n for n, r in enumerate(facts.everyone, 2) if r.get("exclude"))
    for group in facts.groups.values():
        each = [p.strokes for p in group]
        yield from (sum(each), len(each), min(each), max(each), sum(each) / len(each))
        yield sum(p.standing for p in group)
    for p in facts.pieces:
        area = p.size[0] * p.size[-1] * (pi / 4 if len(p.size) == 1 else 1)
        yield from (area / 100, area / 25.4**2)
    singles = len(facts.of_kind("single"))
    yield from (singles, sum(strokes), sum(strokes) + singles, facts.misses or 0)


def typed_numbers(facts):
    """Every number typed for this tool, lengths in mm and in inches."""
    rows = " ".join(str(v) for r in facts.rows for v in r.values())
    study = {k: v for k, v in facts.study.items() if k not in ("blades", "handling", "outline")}
    own = {k: facts.study.get(k, {}).get(facts.tool, {}) for k in ("handling", "outline")}
    text = f"{rows} {typed_words(study)} {typed_words(facts.blade)} {typed_words(own)}"
    for found in FRACTION.findall(text):
        value = amount(found)
        yield from (value, value * 25.4, value / 25.4, value / 28.349523125)
        yield from (value * 1.8 + 32, (value - 32) / 1.8)
    angle = facts.blade.get("angle_per_side_deg")
    if angle:
        yield 2 * angle


def bounds_of_dulling(told):
    """Upper ends of each tool's own dulling, %, to two digits upwards, as a bound is told."""
    for one in (told.get("counts") or {}).get("dulling_by_tool") or ():
        high = one["pct_per_100_chops"]["high"]
        step = 10 if high and high >= 100 else 1
        if high and 0 < high < 1000:
            yield ceil(high / step) * step


def strokes_to_a_third(told):
    """Strokes until a piece takes a third more: a least number rounded down, else rounded."""
    for one in (told.get("counts") or {}).get("dulling_by_tool") or ():
        third = one.get("third_more") or {}
        ends = third.get("strokes") or {}
        for value in (third.get("at_least"), *(ends.get(k) for k in ("value", "low", "high"))):
            if value and isfinite(value):
                for step in (10.0**n for n in range(4)):
                    yield from (floor(value / step) * step, round(value / step) * step)


def explained(value, shown, known):
    """Whether a number shown to these digits is one of the known, rounded."""
    decimals = len(shown.split(".")[1]) if "." in shown else 0
    half = 0.5000001 * 10**-decimals
    return any(abs(value - abs(k)) <= half for k in known)


def numbers(sheet, facts, told):
    """Every number of the sheet is typed, counted, or a figure of the command's answer."""
    known = [*counted_numbers(facts), *typed_numbers(facts)]
    worked_out = [v for v in figures(told, facts.tool) if v is not None]
    beside = [c["strokes_per_piece"] for c in told.get("as_chopped") or ()]
    worked_out += [v for span in beside for v in figures(span, facts.tool)]
    known += bounds_of_dulling(told)
    known += strokes_to_a_third(told)
    known += worked_out + [100 * v for v in worked_out if abs(v) <= 5]
    known += [v / per for v in worked_out for per in (25.4, 28.349523125, 1000)]
    known += [v / per for v in worked_out for per in (2.92639653, 1.35581795)]  # lb in², ft lbf
    known += [0.07 / 0.0421401101, 40 / 1.35581795]  # the arm and its work, lb ft² and ft lbf
    prose = sheet.prose
    if re.search(r"per 4 in\b", prose):  # 101.6 mm
        known += [1.016 * v for v in worked_out]
    for doubt in [*told.get("doubts", ()), *told.get("warnings", ())]:
        for sentence in re.split(r"(?<=[.?]) ", doubt["text"]):  # the sheet leaves out advice
            prose = prose.replace(sentence, " ")
    prose = WAYS_OF_TELLING.sub(" ", prose)
    for found in TOKEN.finditer(prose):
        shown = found[0].replace(",", "")
        value = amount(shown)
        if value is not None and not explained(value, shown.split()[0], known):
            around = prose[max(0, found.start() - 60) : found.end() + 40]
            yield Contradiction("numbers", around, f"{found[0]} is neither typed, counted nor told")

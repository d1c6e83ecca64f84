"""Does the sheet tell what was typed as it was typed, and 'not measured' where nothing was?"""

import re
import tomllib
from functools import cache
from pathlib import Path

from tests.benchmarks.sheet_claims.claims_of_strokes import typed_words
from tests.benchmarks.sheet_claims.log_facts import amount
from tests.benchmarks.sheet_claims.sheet_text import Contradiction

PROTOCOLS = Path(__file__).parents[3] / "protocols"
UNTOLD = r"not (?:noted|measured|known|typed|given|taken)"
UNUSUAL = re.compile(r"[\u0590-\uffff]")  # scripts that a font may lack
PHRASE = 5  # words of a protocol in a row that make a quotation
TRIALS = {
    "rope": r"rope",
    "flex": r"\bflex",
    "bend": r"\bbend\b",
    "nail": r"\bnail",
    "bone": r"\bbone",
    "antler": r"\bantler",
    "knot": r"knot chop",
    "shave": r"shav(?:e|ing)",
    "single": r"depth per chop|single chops?",
}


def blank_facts(sheet, facts):
    """Angle, finish, hardness and steel: 'not noted' where blank, and as typed where typed."""
    blade = facts.blade
    asked = {
        "hardness": ("hardness_hrc", "hardness_files"),
        "angle": ("angle_per_side_deg", "included_angle_deg"),
        "finish": ("edge_finish",),
    }
    for what, keys in asked.items():
        typed = any(k in blade for k in keys)
        said = re.search(
            rf"(?<!wood's )(?<!side ){what}[^.;]{{0,12}}? {UNTOLD}", sheet.prose, re.IGNORECASE
        )
        if not typed and not said:
            yield Contradiction("blank", "", f"no {what} was typed, and the sheet does not say so")
        if typed and said:
            yield Contradiction("blank", said[0], f"{what} was typed")
    if "angle_per_side_deg" not in blade and "included_angle_deg" not in blade:
        for sentence, found in sheet.holding(r"\d+(?:\.\d+)? ?° ?(?:per|a) side|° included"):
            if found[0] not in typed_words(facts.study):
                yield Contradiction("angle", sentence, "no angle was typed")
    if not any(k in blade for k in ("hardness_hrc", "hardness_files", "hardness_target_hrc")):
        for sentence, _ in sheet.holding(r"\bHRC\b"):
            yield Contradiction("hardness", sentence, "no hardness was typed")


def typed_shown(sheet, facts):
    """Title, customer, maker, steel, finish, angle and hardness stand on the sheet as typed."""
    squeezed = re.sub(r"\s+", "", sheet.whole).replace("-", "").lower()
    document = facts.study.get("document", {})
    blade = facts.blade
    wanted = {
        "customer": document.get("customer"),
        "maker": facts.study.get("maker"),
        "tested by": facts.study.get("tested_by"),
        "title": blade.get("title"),
        "steel": blade.get("steel"),
        "finish": blade.get("edge_finish"),
        "date": str(facts.study["date"]) if "date" in facts.study else None,
    }
    if "angle_per_side_deg" in blade:
        wanted["angle"] = f"{blade['angle_per_side_deg']:g}°"
    for number, value in enumerate(blade.get("hardness_hrc", [])):
        wanted[f"hardness {number + 1}"] = f"{value:g}"
    without = re.search(r"letters\s+that\s+no\s+font", sheet.foot)
    for what, value in wanted.items():
        if value and without and UNUSUAL.search(value):
            continue  # the sheet says that it cannot print them, and where they are
        if value and not all(word in squeezed for word in _words_of(value)):
            yield Contradiction("typed", value, f"the {what} that was typed is not on the sheet")
    for sign in "□\ufffd":
        if sign in sheet.whole:
            yield Contradiction("typed", sheet.prose[:80], f"a letter is printed as {sign}")


def temperatures(sheet, facts):
    """Temperatures and times stand in the unit and number in which they were typed."""
    typed = set()
    for step in (s for h in facts.study.get("heat_treatments", []) for s in h.get("steps", [])):
        for key, value in step.items():
            if key.endswith(("_c", "_f")) and not isinstance(value, str):
                typed.add(f"{value:g} °{key[-1].upper()}")
            typed |= set(re.findall(r"\d+ °[CF]", str(value)))
    typed |= set(re.findall(r"\d+ ?°[CF]", typed_words(facts.study)))
    for sentence, found in sheet.holding(r"(\(?)\b(\d+(?:\.\d+)?) ?°([CF])"):
        before = re.search(r"(\d+(?:\.\d+)?) ?°([CF]) \($", sentence[: found.start() + 1])
        if found[1] and before and turned_over(float(before[1]), before[2]) == found[2]:
            continue
        if f"{found[2]} °{found[3]}" not in typed:
            yield Contradiction("temperature", sentence, f"{found[0]} was not typed")


def turned_over(value, unit):
    """A temperature in the other unit, to the degree, as text."""
    return f"{value * 1.8 + 32:.0f}" if unit == "C" else f"{(value - 32) / 1.8:.0f}"


def edge_length(sheet, facts):
    """The edge's length is told as it was typed, to the fraction of an inch."""
    typed = facts.blade.get("edge_length_mm")
    for sentence, found in sheet.holding(r"on (\d[\d ./]*?) ?(mm|in)(?: \([^)]*\))? of edge"):
        if "photo" in sentence.lower():
            continue
        if typed is None:
            yield Contradiction("edge length", sentence, "no length of edge was typed")
            continue
        length = amount(typed)
        told = amount(f"{found[1]} {found[2]}")
        typed_inch = isinstance(typed, str) and "in" in typed
        beside = re.search(r"\((\d[\d ./]*?) in\) of edge", sentence)
        inch = beside[1] if beside else found[1].strip() if found[2] == "in" else None
        if abs(told - length) > 0.51 or (typed_inch and inch and inch not in typed):
            yield Contradiction("edge length", sentence, f"typed was {typed}")


def swing(sheet, facts):
    """Nothing of balance, inertia or percussion stands where no swing was measured."""
    if facts.swings or facts.tool in facts.study.get("outline", {}):
        return
    for sentence, found in sheet.holding(r"percussion|inertia|balance|\bkick\b|\d J\b"):
        denied = re.search(rf"{UNTOLD}|not tested|nor ", sentence, re.IGNORECASE)
        listed = re.search(r"not tested", sheet.prose, re.IGNORECASE)
        if not denied and not (listed and sheet.prose.find(sentence) > listed.start()):
            yield Contradiction("swing", sentence, f"'{found[0]}', and no swing was measured")


def _words_of(value):
    """What is looked for of a typed value: all of it in one piece, but for a script that runs from
    right to left, whose words and brackets a reader of PDF puts into an order of its own.
    """
    plain = value.replace("-", "").lower()
    if re.search(r"[\u0590-\u08ff]", plain):
        return re.findall(r"\w+", plain)
    return [re.sub(r"\s+", "", plain)]


def of_others(sheet, facts):
    """No remark, mishap or doubt of another tool stands on this tool's sheet."""
    for remark in facts.others():
        if len(remark) > 3 and remark.lower() in sheet.prose.lower():
            yield Contradiction("another's", remark, "a remark of another tool")
    for other in facts.study["blades"]:
        if other["id"] == facts.tool:
            continue
        for sentence, _ in sheet.holding(rf"\b{re.escape(other['id'])}\b"):
            words = r"\btook|takes more or fewer|that .*(?:needed|of)|than|%|ratio|times|beside"
            words += "|In numbers"
            beside = re.search(words, sentence)
            if not beside or re.search(r"chip|roll|looked|damage", sentence):
                yield Contradiction("another's", sentence, f"speaks of {other['id']}")
    if len(facts.study["blades"]) == 1:
        for sentence, _ in sheet.holding(r"that is \d+ % of the strokes|than the control"):
            yield Contradiction("another's", sentence, "there is no other tool")


def trials(sheet, facts):
    """What was tried is told with its passes; what is told as not tested was not tried."""
    listed = re.search(r"Not tested\s+(.*?)(?:Care|To bear|$)", sheet.prose)
    left_out = listed[1].split("nor ")[0] if listed else ""
    for kind, words in TRIALS.items():
        done = facts.of_kind(kind)
        if done and re.search(words, left_out, re.IGNORECASE):
            yield Contradiction("trials", left_out, f"{kind} was tried")
        if kind == "single" or not done:
            continue
        passes = sum(r["result"] == "pass" for r in done)
        for line in sheet.lines:
            found = re.match(
                rf"{words}\S*(?: cut| chop)? (passed|failed)(?: (\d+) of (\d+))?", line, re.I
            )
            if not found:
                continue
            told = (int(found[2]), int(found[3])) if found[2] else (len(done), len(done))
            if found[1].lower() == "failed":
                told = told[1] - told[0] if found[2] else 0, told[1]
            if told != (passes, len(done)):
                yield Contradiction("trials", line, f"passed were {passes} of {len(done)}")


def failed(sheet, facts):
    """Every trial that was failed is named as failed, and no other."""
    said = [found[1] for _, found in sheet.holding(r"It failed in trial: (.+)")]
    for kind, words in TRIALS.items():
        fails = any(r["result"] == "fail" for r in facts.of_kind(kind))
        if fails != any(re.search(words, one, re.IGNORECASE) for one in said):
            yield Contradiction(
                "failed", "".join(said), f"{kind} was{'' if fails else ' not'} failed"
            )


@cache
def phrases_of(protocol):
    """Runs of words in what a protocol asks for: its medium, its cut and its notes."""
    told = tomllib.loads((PROTOCOLS / f"{protocol}.toml").read_text(encoding="utf-8"))
    asked = [told["medium"].get(k, "") for k in ("kind", "size", "batch")]
    asked += [told["cut"].get(k, "") for k in ("backing", "how")]
    asked += [told.get("notes", "")] + [r.get("check", "") for r in told["readings"]]
    runs = set()
    for text in asked:
        words = re.findall(r"\w+", text.lower())
        runs |= {" ".join(words[i : i + PHRASE]) for i in range(len(words) - PHRASE + 1)}
    return frozenset(runs)


def protocol(sheet, facts):
    """What the protocol asks for is not told as done."""
    runs = phrases_of(facts.study["protocol"])
    for sentence in sheet.sentences:
        words = re.findall(r"\w+", sentence.lower())
        quoted = {" ".join(words[i : i + PHRASE]) for i in range(len(words) - PHRASE + 1)} & runs
        if quoted and not re.search(r"protocol asks|asks for|asks that", sentence):
            yield Contradiction("protocol", sentence, f"'{min(quoted)}' is the protocol's wish")


CLAIMS = (
    blank_facts,
    typed_shown,
    temperatures,
    edge_length,
    swing,
    of_others,
    trials,
    failed,
    protocol,
)

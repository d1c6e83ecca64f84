"""What does a whole document say that its study does not bear? Section by section, then the PDF."""

import json
import re
import tomllib
from pathlib import Path

from tests.benchmarks.chop_worlds.answers import run
from tests.benchmarks.read_documents import (
    rules_of_answer,
    rules_of_batches,
    rules_of_chances,
    rules_of_limits,
    rules_of_lives,
    rules_of_makes,
    rules_of_page_one,
    rules_of_rows,
    rules_of_setup,
)
from tests.benchmarks.read_documents.made_studies import made
from tests.benchmarks.read_documents.own_arithmetic import Bearings
from tests.benchmarks.read_documents.page_text import (
    Block,
    blocks_of,
    letters_of,
    stands_in,
    table_rows,
)
from tests.benchmarks.read_documents.rules_of_limits import GOOD, SURE
from tests.benchmarks.read_documents.sentence_rules import (
    Case,
    compiled,
    covered,
    judged,
    sentences,
)
from tests.benchmarks.read_documents.study_files import write
from tests.benchmarks.read_documents.told_departures import departures

RULES = (
    rules_of_answer, rules_of_batches, rules_of_chances, rules_of_limits, rules_of_lives,
    rules_of_makes, rules_of_page_one, rules_of_rows, rules_of_setup,
)  # fmt: skip
PROTOCOLS = Path(__file__).parents[3] / "protocols"
MAKER = "To the maker"
SECTIONS = {
    "What was tested, and how", "Departures from the protocol", "How the edges wore",
    "At other cuts and other limits", "How sure this is", "What the data cannot say",
    "Good to know", "Cautions", "Cautions and care", "How it was computed", "Signature",
    "Left out", "Mishaps", "The readings", MAKER,
}  # fmt: skip
HELD = (
    "Log and facts were held against the protocol: stages, stations, readings and their repeats, "
    "control blade, roll of the medium, edge angle and finish"
)


def case_of(number, folder):
    """A study made, written, and told of by the program; faults raise."""
    study, folder = made(number), Path(folder)
    write(study, folder)
    case = Case(study, Bearings(study))
    case.protocol = tomllib.loads((PROTOCOLS / f"{study.protocol}.toml").read_text("utf-8"))
    out = folder / "documents"
    code, told, err = run(["report", str(folder), "--to", str(out), "--json"])
    if code:
        raise RuntimeError(f"study {number}: report: {err or told}")
    code, told, err = run(["compare", str(folder), "--json"])
    case.told = json.loads(told) if not code else {}
    case.told = {} if "fault" in case.told else case.told
    case.blocks = blocks_of(out / "comparison.html")
    case.compiled = compiled(case)
    return case


def untruths(case, pdf=None):
    """(kind, sentence, why) of all that the document says and nothing bears."""
    found = []
    for block in case.blocks:
        found += _of_block(block, case)
    found += _of_tables(case)
    if case.told:
        found += _of_json(case)
    if pdf is not None:
        found += _of_pdf(case, pdf)
    return list(dict.fromkeys(found))


def _of_block(block, case):
    if block.kind in ("td", "th", "dt", "footer", "h1", "h2", "h3"):
        return list(_of_heading(block, case))
    if block.section.startswith("Cautions"):
        due = {*case.protocol["cautions"], *case.study.document.get("care", [])}
        return [] if block.text in due else [("untrue", block.text, "not the protocol's")]
    if block.section.startswith("Departures"):
        return list(_intro(block, case))
    if not block.section and block.kind == "p":
        head = case.study.head
        if block.text == head.get("maker"):
            return []
        if block.text.startswith("Comparison of edge holding"):
            return list(_subtitle(block.text, case))
    text = f"{block.head} ⇒ {block.text}" if block.kind == "dd" else block.text
    return judged(_whole(Block(block.kind, text, block.section), case), case)


def _whole(block, case):
    """A doubt with what it asks of the maker, which stands in a section of its own."""
    asked = [one for one in case.blocks if one.section == MAKER]
    if block.section in (SURE, GOOD):
        pairs = [(block, one) for one in asked]
    elif block.section == MAKER:
        pairs = [(one, block) for one in case.blocks if one.section in (SURE, GOOD)]
    else:
        return block
    for fact, one in pairs:
        place = re.match(r"(?:[^.!?]|[.!?](?! ))+?: (?=[A-Z])", fact.text)
        if one.text.startswith(fact.text) and covered(one, case):  # told whole
            return Block(block.kind, one.text, fact.section)
        rest = one.text.removeprefix(place[0]) if place else one.text
        whole = Block(block.kind, f"{fact.text} {rest}", fact.section)
        if (not place or rest != one.text) and covered(whole, case):
            return whole
    return block


def _of_heading(block, case):
    head = case.study.head
    if block.kind == "h1" and block.text != head["title"]:
        yield ("untrue", block.text, "the title is another")
    if block.kind == "footer":
        due = [head["title"], head.get("maker"), head.get("date")]
        if block.text != " · ".join(d for d in due if d):
            yield ("untrue", block.text, f"{due}")
    if block.kind == "h2" and block.text not in SECTIONS:
        yield ("unknown", block.text, "a section of that name")


def _subtitle(text, case):
    head, wishes = case.study.head, case.study.document
    due = ["Comparison of edge holding", case.protocol["title"]]
    due += [f"tested by {head['tested_by']}"] if "tested_by" in head else []
    due += [head["date"]] if "date" in head else []
    due += [f"for {wishes['customer']}"] if "customer" in wishes else []
    if text != " · ".join(due):
        yield ("untrue", text, f"{due}")


def _intro(block, case):
    text = block.text
    if text not in (HELD + " and limit.", HELD + " and limit. Nothing departs from it."):
        yield ("untrue", text, "no order was drawn, and nothing else was held against the log")


def _of_tables(case):
    found = []
    for row in case.life_rows:
        found += [("untrue", _row(row), why) for why in rules_of_lives.life_row(row, case)]
    blades = table_rows(case.blocks, "Blade")
    for row in blades:
        found += [("untrue", _row(row), why) for why in rules_of_setup.blade_row(row, case)]
    if blades and [r["Blade"].removesuffix(" · control") for r in blades] != [
        b.id for b in rules_of_setup.told_blades(case)
    ]:
        found.append(("untrue", "table of blades", "not every blade once"))
    found += rules_of_rows.readings_told(case)
    rows = [tuple(r.values()) for r in table_rows(case.blocks, "The protocol asks")]
    return found + departures(rows, case)


def _row(row):
    return " | ".join(row.values())


def _of_json(case):
    """Doubts and sentences of compare's JSON by the same rules, and what the page must repeat."""
    found = []
    page = {b.text for b in case.blocks}
    answer = (each.replace("`", "") for each in case.told["headline"]["answer"])
    untold = any(text.startswith("This test cannot tell which of ") for text in page)
    for sentence in (one for each in answer for one in sentences(each)):  # some to the maker alone
        if untold and sentence.startswith("Cannot tell yet which of "):  # page one says it above
            continue
        if sentence not in page and not any(sentence in text for text in page):
            found.append(("json", sentence, "the answer of compare --json is not on the page"))
    rows = [(d["asked"], d["done"], d["means"]) for d in case.told.get("departures") or []]
    found += [("json " + kind, *rest) for kind, *rest in departures(rows, case)]
    return found


def _of_pdf(case, pdf):
    foot = next((block.text for block in case.blocks if block.kind == "footer"), "")
    letters = letters_of(pdf, foot)
    for block in case.blocks:
        if block.kind == "alt" or not block.text:
            continue
        if not stands_in(block.text, letters):
            yield ("pdf", block.text, "the page of HTML says it, the PDF does not")

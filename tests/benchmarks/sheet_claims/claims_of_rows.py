"""Does the table of the log on the sheet hold each row of the log, and nothing else?"""

import re

from tests.benchmarks.sheet_claims.claims_of_strokes import COUNT, whole
from tests.benchmarks.sheet_claims.log_facts import PIECES, amount, strokes_in
from tests.benchmarks.sheet_claims.sheet_text import Contradiction


def rows_of(table, facts):
    """Text of each row of the table, by the row's number in the file; what comes before is told."""
    numbers = [n for n, r in enumerate(facts.everyone, 2) if r["blade"] == facts.tool]
    found: dict = {}
    current = None
    for line in table:
        first = line.split(" ", 1)[0]
        later = [n for n in numbers if current is None or n > current]
        if first.isdigit() and int(first) in later[:3] and re.match(r"\d+ \d+ \D", line):
            current = int(first)
            found[current] = line
        elif current is not None:
            found[current] += " " + line
    return found


def wanted(row):
    """(what, pattern) that the text of a row must hold, from the cells of the log."""
    if row["kind"] in PIECES:
        strokes, standing = strokes_in(row), row["chops"].startswith(">")
        over = rf"(?:over |>){strokes}\b|" if standing else ""
        yield "strokes", rf"{over}\b{strokes} (?:strokes?|chops?)"
        if standing:
            yield "standing", r"st(?:oo|an)d"
        misses = int(row.get("near_misses") or 0)
        if misses:
            yield "near misses", rf"\b{misses} near miss"
        for word in re.findall(r"\w+", row.get("species", "")):
            yield "wood", re.escape(word)
        for key in ("width_mm", "thickness_mm", "diameter_mm"):
            if row.get(key):
                yield key, re.escape(row[key].removesuffix(" in"))
    if row.get("depth_mm"):
        yield "depth", rf"\b{re.escape(row['depth_mm'].removesuffix('.0'))}\b"
    for key in ("board", "note"):
        if row.get(key):
            yield key, rf"(?<!\w){re.escape(row[key])}(?!\w)"
    if row.get("exclude"):
        yield "left out", re.escape(row["exclude"])
    if row.get("result"):
        yield "result", row["result"]


def damage_in(row, text):
    """What is wrong with the damage told in a row."""
    for noun, key in (("chip", "chips_count"), ("roll", "rolls_count")):
        told = [whole(n) for n in re.findall(rf"\b{COUNT} {noun}s?\b", text, re.IGNORECASE)]
        typed = row.get(key)
        if told and not typed:
            yield f"{noun}s are told, none were written"
        elif typed and told != [int(typed)]:
            yield f"{noun}s: {told or 'nothing'} told, {typed} written"
    largest = amount(row.get("largest_chip_mm"))
    if largest and not re.search(rf"\b{re.escape(row['largest_chip_mm'])}\b", text):
        yield f"largest chip {row['largest_chip_mm']} is not told"


def rows(table, facts):
    """Every row of the log stands in the table with its cells, and its strokes up to then."""
    found = rows_of(table, facts)
    done = 0
    for number, row in enumerate(facts.everyone, 2):
        if row["blade"] != facts.tool:
            continue
        done += strokes_in(row)
        text = found.get(number)
        if text is None:
            yield Contradiction("rows", "", f"row {number} is not in the table")
            continue
        squeezed = text.replace("- ", "-")
        if not text.startswith(f"{number} {done} "):
            yield Contradiction("rows", text, f"{done} strokes were done by then")
        for what, pattern in wanted(row):
            loose = pattern.replace(r"\ ", r"\s+").replace(r"\-", r"\-\s*")
            if not re.search(loose, squeezed, re.IGNORECASE):
                yield Contradiction(
                    "rows", text, f"row {number}: its {what} is not there as logged"
                )
        for why in damage_in(row, text):
            yield Contradiction("rows", text, f"row {number}: {why}")
        if not row.get("near_misses") and "near miss" in text:
            yield Contradiction("rows", text, f"row {number}: near misses were not written")
        if not (row.get("chops") or "").startswith(">") and re.search(r"still st", text):
            yield Contradiction("rows", text, f"row {number}: it did not stand")

"""Does the chopper's sheet say anything that its log does not bear?

    python -m tests.benchmarks.sheet_judge --count 20 [--first N] [--text]

Mixed logs of invented shops are written, `edgetest report` makes the sheet of tool T1 as a
user makes it, and every sentence and number of its PDF is held against the log;
sentences of a kind that was never met are told.
"""

import argparse
import json
import tempfile
from collections import Counter
from dataclasses import replace
from pathlib import Path

from tests.benchmarks.chop_worlds.answers import run
from tests.benchmarks.sheet_claims import (
    claims_of_comparison,
    claims_of_damage,
    claims_of_numbers,
    claims_of_rows,
    claims_of_strokes,
    claims_typed,
)
from tests.benchmarks.sheet_claims.known_sentences import unknown_sentences
from tests.benchmarks.sheet_claims.log_facts import facts_of
from tests.benchmarks.sheet_claims.sheet_logs import write_log
from tests.benchmarks.sheet_claims.sheet_text import text_of

CLAIMS = (*claims_of_strokes.CLAIMS, *claims_of_damage.CLAIMS, *claims_typed.CLAIMS)


def contradictions(sheet, facts, told=None):
    """All that the sheet says and the log does not bear."""
    body, table = sheet.parted()
    body, compared = body.without_comparison()
    found = [c for claim in CLAIMS for c in claim(body, facts)]
    found += claims_of_comparison.comparison(compared, facts, told)
    found += claims_of_rows.rows(table, facts) if table else []
    beside = sheet.table_beside()
    control = facts.study.get("control")
    if beside and control and control != facts.tool:
        found += claims_of_rows.rows(beside, replace(facts, tool=control))
    if told is not None:
        found += claims_of_numbers.numbers(body, facts, told)
    return list(dict.fromkeys(found))


def sheet_of(number, folder, tool="T1"):
    """Log `number` written, its sheet made: text, facts and JSON; a fault raises."""
    folder = Path(folder)
    options = write_log(number, folder)
    wishes = ("--to", str(folder / "sheets"), "--about", "chopper", "--blade", tool)
    for command in (["report", str(folder), *wishes, *options], ["chop", str(folder), "--json"]):
        code, out, err = run(command)
        if code:
            raise RuntimeError(f"log {number}: {err or out}")
    pdf = next((folder / "sheets").glob("*.pdf"))
    return text_of(pdf), facts_of(folder, tool), json.loads(out)


def main():
    """Read the command line, judge, print."""
    told = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    told.add_argument("--count", type=int, default=20)
    told.add_argument("--first", type=int, default=0)
    told.add_argument("--text", action="store_true", help="print the sheets' text too")
    options = told.parse_args()
    rules: Counter = Counter()
    clean = strange = 0
    for number in range(options.first, options.first + options.count):
        with tempfile.TemporaryDirectory() as folder:
            try:
                sheet, facts, answer = sheet_of(number, folder)
                unknown = unknown_sentences(Path(folder) / "sheets")
            except RuntimeError as fault:
                print(fault)
                continue
        found = contradictions(sheet, facts, answer)
        clean += not found
        strange += bool(unknown)
        rules.update({c.rule for c in found})
        print(f"\n## log {number}: {len(found)} contradictions")
        print("".join(f"  {c}\n" for c in found), end="", flush=True)
        print("".join(f"  [unknown] {one[:200]}\n" for one in unknown), end="", flush=True)
        if options.text:
            print(sheet.whole)
    print(f"\n{clean} of {options.count} sheets without a contradiction; sheets by rule:")
    print(f"  {strange} sheets with a sentence of no known kind")
    print("".join(f"  {rule:14s} {count}\n" for rule, count in rules.most_common()), end="")


if __name__ == "__main__":
    main()

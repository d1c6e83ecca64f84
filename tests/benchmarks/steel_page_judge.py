"""Does the page of a found steel say anything that its maker's notes do not bear?

    python -m tests.benchmarks.steel_page_judge --first 0 --count 20 [--step 2] [--keep FOLDER]

Notes of invented shops on found steel are written as makers write them, by editor or by
`edgetest enter`, `edgetest report` makes the page, and every sentence of it is held against the
notes and against `edgetest verdict --json`.
"""

import argparse
import contextlib
import tempfile
from collections import Counter
from pathlib import Path

from tests.benchmarks.read_steel.judged_page import read_steel, untruths


def main():
    """Read the command line, judge, print."""
    told = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    told.add_argument("--first", type=int, default=0)
    told.add_argument("--count", type=int, default=20)
    told.add_argument("--step", type=int, default=1, help="2: every other seed")
    told.add_argument("--keep", help="folder for the studies and their pages")
    options = told.parse_args()
    kinds, clean, blocks = Counter(), 0, 0
    for number in range(options.first, options.first + options.count * options.step, options.step):
        with contextlib.ExitStack() as stack:
            root = options.keep or stack.enter_context(tempfile.TemporaryDirectory())
            try:
                page = read_steel(number, Path(root) / str(number))
                found = untruths(*page)
                blocks += len(page[1])
            except RuntimeError as refused:
                found = [("refused", f"steel {number}", str(refused))]
        clean += not found
        for kind, sentence, why in found:
            kinds[kind] += 1
            print(f"{number} [{kind}] {sentence[:220]} <- {str(why)[:260]}", flush=True)
    print(f"{clean} of {options.count} pages without a finding; findings {dict(kinds)}")
    print(f"read: {blocks} pieces of text")


if __name__ == "__main__":
    main()

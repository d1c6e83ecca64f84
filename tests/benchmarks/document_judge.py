"""Does a comparison's document say anything that its study does not bear?

    python -m tests.benchmarks.document_judge --first 0 --count 20 [--step 2] [--keep FOLDER]

Studies of invented shops are written as makers write them, `edgetest report` makes the document as
a user makes it, and every sentence and number of its HTML, PDF and JSON is held against the log.
"""

import argparse
import contextlib
import io
import re
import tempfile
import traceback
from collections import Counter
from pathlib import Path

from tests.benchmarks.read_documents.page_judge import case_of, untruths


def main():
    """Read the command line, judge, print."""
    told = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    told.add_argument("--first", type=int, default=0)
    told.add_argument("--count", type=int, default=20)
    told.add_argument("--step", type=int, default=1, help="2: every other seed")
    told.add_argument("--keep", help="folder for the studies and their documents")
    options = told.parse_args()
    kinds, clean, read = Counter(), 0, Counter()
    for number in range(options.first, options.first + options.count * options.step, options.step):
        with contextlib.ExitStack() as stack:
            root = options.keep or stack.enter_context(tempfile.TemporaryDirectory())
            found = _judged(number, Path(root) / str(number), read)
        clean += not found
        for kind, sentence, why in found:
            kinds[kind] += 1
            print(f"{number} [{kind}] {sentence[:220]} <- {str(why)[:200]}", flush=True)
    print(f"{clean} of {options.count} documents without a finding; findings {dict(kinds)}")
    print(f"read: {dict(read)}")


def _judged(number, folder, read):
    told = io.StringIO()
    try:
        with contextlib.redirect_stderr(told):
            case = case_of(number, folder)
            found = untruths(case, folder / "documents" / "comparison.pdf")
    except RuntimeError as refused:
        return [("refused", f"study {number}", str(refused))]
    except Exception:
        return [("crash", f"study {number}", traceback.format_exc()[-700:])]
    read["documents"] += 1
    read["blocks"] += sum(b.kind != "th" for b in case.blocks)
    read["numbers"] += sum(len(re.findall(r"\d+(?:[.,]\d+)*", b.text)) for b in case.blocks)
    return found


if __name__ == "__main__":
    main()

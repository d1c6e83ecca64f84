"""What does the page of a found steel say that its maker's notes and the verdict do not bear?"""

import json
import re
from pathlib import Path

from tests.benchmarks.chop_worlds.answers import run
from tests.benchmarks.read_documents.page_text import blocks_of
from tests.benchmarks.read_documents.sentence_rules import sentences
from tests.benchmarks.read_steel import page_rules  # noqa: F401 - it keeps the rules
from tests.benchmarks.read_steel.made_steels import made, write
from tests.benchmarks.read_steel.piece_cells import LINES, cell_unborne
from tests.benchmarks.read_steel.seen_rows import bare, unborne
from tests.benchmarks.read_steel.sentence_rules import contradictions

SEEN, MIND = "What was seen", "Mind"
WHY = ("Why", "In doubt", "Also in doubt", "This does not fit together")
NAMED = re.compile(r"\b(?:piece|Piece) (\S+?)[,:.)](?: coupon (\S+?), heat (\d+))?")


def read_steel(number, folder):
    """Study `number` written, its page made: (steel, blocks, verdict's JSON); a fault raises."""
    steel, folder = made(number), Path(folder)
    write(steel, folder)
    for command in (["report", str(folder), "--to", str(folder / "documents"), "--about", "steel"],
                    ["verdict", str(folder), "--json"]):  # fmt: skip
        code, out, err = run(command)
        if code:
            raise RuntimeError(f"steel {number}: {command[0]}: {err or out}")
    return steel, blocks_of(folder / "documents" / "verdict.html"), json.loads(out)


def untruths(steel, blocks, told):
    """(kind, sentence, why) of each finding: "untrue", "unknown" (no rule covers it), "missing"."""
    found, names = [], {b.row: b.text for b in blocks if b.section == LINES and b.head == "Piece"}
    for block in blocks:
        if block.kind in ("dt", "h2", "th"):
            continue
        if block.section == LINES and block.kind == "td":
            found += [
                ("untrue", block.text, one) for one in cell_unborne(block, steel, told, names)
            ]
        elif block.section == SEEN and block.kind == "dd":
            why = unborne(block.head, block.text, steel)
            found += [("untrue", f"{block.head} ⇒ {block.text}", one) for one in why]
        else:
            found += _prose(block, steel, told)
    return found + _missing(steel, blocks)


def _prose(block, steel, told):
    """A block of sentences: by rule; else names and numbers alone are held, and it is unknown."""
    wrong = []
    text = bare(block.text, wrong)
    found = [("untrue", block.text, why) for why in wrong]
    if block.kind == "h1" or text in steel.head.values():
        return found + _title(block, steel)
    said = [f"{block.head} ⇒ {text}"] if block.head else sentences(text)
    for sentence in said:
        why = contradictions(sentence, steel, told)
        if why is None:
            found += _stray(sentence, steel)
            if block.section != MIND:
                found.append(("unknown", sentence, "no rule covers it"))
        else:
            found += [("untrue", sentence, one) for one in why]
    return found


def _title(block, steel):
    return [] if block.text in steel.head.values() else [("untrue", block.text, "another title")]


def _stray(sentence, steel):
    """Pieces that nobody named, in a sentence that no rule covers."""
    pieces = [piece["id"] for piece in steel.pieces]
    return [
        ("untrue", sentence, f"no piece {m[1]}") for m in NAMED.finditer(sentence)
        if m[1] not in pieces and m[1] not in ("such", "as")
    ]  # fmt: skip


def _missing(steel, blocks):
    """What was noted and has no line: each piece, each heat, each trial."""
    heads = [block.head for block in blocks if block.section == SEEN]
    due = len(steel.pieces) + len(steel.heats) + len(steel.trials)
    due += bool({"known_low", "known_high"} & steel.evidence.keys())
    if len(heads) and due > sum(block.kind == "dd" for block in blocks if block.section == SEEN):
        return [("missing", f"{due} rows were noted", f"the page has {heads}")]
    return []

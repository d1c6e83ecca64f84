"""How is a sentence of a found steel's page held against notes and JSON?

A rule is a pattern and a check that returns what contradicts the sentence.
"""

import re

NUMBER = r"\d+(?:\.\d+)?"
RULES = []


def rule(pattern):
    """A check for sentences of this pattern."""

    def keep(check):
        RULES.append((re.compile(pattern), check))
        return check

    return keep


def plain(*patterns):
    """Advice, cautions and definitions, which say nothing of what was done."""
    RULES.extend((re.compile(pattern), None) for pattern in patterns)


def contradictions(sentence, steel, told):
    """What stands against a sentence; None where no rule covers it."""
    for pattern, check in RULES:
        match = pattern.fullmatch(sentence)
        if match:
            return (check(match, steel, told) or []) if check else []
    return None


def per_cent(chance, text):
    """Whether a chance of the JSON is told so."""
    number = float(re.search(NUMBER, text)[0])
    if text.startswith("over"):
        return chance > number / 100
    if text.startswith("under"):
        return chance < number / 100
    return abs(100 * chance - number) <= 0.51


def asked(steel, told):
    """The piece that the verdict speaks of, as noted."""
    return next((p for p in steel.pieces if p["id"] == told["piece"]), {})


SHARE = rf"(?:over |under )?{NUMBER} %"

"""A document is its customer's: what is so stands apart from what the maker can do about it."""

import re

from edgetest.report.documents.blocks import bullets, section

TO_THE_MAKER = "To the maker"
PLACE = re.compile(r"(?:[^.!?]|[.!?](?! ))+?: (?=[A-Z])")  # "log.csv, row 14, H2: " before a doubt
# The word that a sentence begins with where it asks something of the maker.
ASKING = {
    "Add", "Ask", "Change", "Check", "Choose", "Chop", "Compare", "Count", "Cover", "Cut",
    "Decide", "Enter", "Expose", "Fill", "Fix", "Focus", "Give", "Harden", "Install", "Is", "Keep",
    "Lay", "Leave", "Let", "Light", "Log", "Look", "Make", "Measure", "Mend", "More", "Name",
    "Note", "One", "Pack", "Photograph", "Put", "Read", "Run", "Sever", "Shade", "Shorten",
    "Take", "Test", "Time", "Touch", "Trust", "Try", "Turn", "Use", "Wait", "Was", "Weigh", "Were",
    "Write",
}  # fmt: skip

# Advice that speaks of what was said before it, and so is told with it.
POINTS_BACK = re.compile(r"\b(?:it|its|them|they|those|each|both)\b")


def without_advice(line):
    """A doubt's sentence for the customer: what is so, without what the maker can do about it."""
    told = re.split(r"(?<=[.!?]) (?=[A-Z])", line)
    ends = (k for k, one in enumerate(told) if k and one.split(" ", 1)[0] in ASKING)
    return " ".join(told[: next(ends, len(told))])


def parted(lines):
    """What the lines say for the customer, and what they ask of the maker, each with its place.

    Advice that points back at what was said ("Look at its edge") is told with that.

    Parameters
    ----------
    lines : iterable of str
        Doubts as `edgetest.doubts.sentences` gives them, places before a colon.

    Returns
    -------
    (list of str, list of str)
    """
    facts, asked = [], []
    for line in lines:
        fact = without_advice(line)
        facts.append(fact)
        if rest := line.removeprefix(fact).strip():
            place = PLACE.match(line)
            alone = f"{place[0] if place else ''}{rest}"
            first = re.split(r"(?<=[.!?]) ", rest)[0]
            of_row = place is not None and ", row " in place[0]  # there it can be looked up
            asked.append(line if POINTS_BACK.search(first) and not of_row else alone)
    return facts, asked


def maker_section(lines, asked_before=()):
    """What the maker can do about the doubts, each once; nothing where nothing is asked."""
    asked = list(dict.fromkeys([*asked_before, *parted(lines)[1]]))
    return [section(TO_THE_MAKER, bullets(asked))] if asked else []

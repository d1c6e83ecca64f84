"""Pages of the reference that hold figures: accuracy by topic, woods."""

from edgetest.store.guide_pages import FRONT
from tests.benchmarks import woods_table
from tests.guide.tables import TOPICS, commands, tables

LEADS = {
    "wear": "How often do lives, ratios and verdicts hold what they say?",
    "planning": "What do blades, stages, rolls and looks buy, and are the chances of a plan true?",
    "photographs": "How right are widths, scales and crests in photographs?",
    "side views": "How right are chips and rolls, and what became of them?",
    "chopping": "How often do the figures of a chop test hold?",
    "steel": "How far do the chances, hardnesses and cases of a mystery steel hold?",
    "program": "How quick is the program, and what do its documents and files stand?",
}
CAUTION = """\
All of it was worked out on made data whose truth is known, unless a table says otherwise. No
photograph of a real worn edge, no real chopping and no real pack is in it:
[what was checked, and what never was](../start/borders.md)."""


def page_name(topic):
    """Name of the page of a topic."""
    return f"accuracy_{topic.replace(' ', '_')}"


def accuracy():
    """The makers of the pages of accuracy, by name."""
    return {page_name(topic): _maker(topic) for topic in TOPICS}


def _maker(topic):
    def lines():
        yield f"# Figures: {topic}"
        yield ""
        yield LEADS[topic]
        yield ""
        yield CAUTION
        for page in tables().values():
            if page.front["topic"] == topic:
                yield from ("", f"## {page.front['title']}", "")
                yield FRONT.sub("", page.text).strip()
                made = " and ".join(f"`{command}`" for command in commands(page))
                yield from ("", f"{page.front['date']}, at {page.front['commit']}, by {made}.")

    return lines


def woods():
    """The woods that are known."""
    yield from woods_table.lines()

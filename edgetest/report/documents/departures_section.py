"""Where the test was done otherwise than its protocol asks, for the reader of a document."""

from edgetest.report.documents.blocks import bullets, section, table, text
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units
from edgetest.study.words import listed

TITLE = "Departures from the protocol"
OF_CHOPS = (
    "The study's protocol asks for chops and says nothing of readings after cuts, so these were "
    "held against no wish."
)
COLUMNS = (
    ("The protocol asks", "left", 1.0),
    ("Done, or not noted", "left", 1.2),
    ("What it means", "left", 1.2),
)


def departures_section(looked, departures, units):
    """Each departure with its consequence; where there is none, what was compared to say so.

    Parameters
    ----------
    looked : sequence of str
        What was held against the protocol; nothing where it is one of chops.
    departures : tuple of ProtocolDeparture
    units : {"metric", "inch", "both"}
    """
    if not looked:
        return section(TITLE, text(OF_CHOPS))
    if not departures:
        return section(TITLE, text(f"{_checked(looked)} Nothing departs from it."))
    rows = [
        [breakable(in_units(words, units)) for words in (each.asked, each.done, each.means)]
        for each in departures
    ]
    return section(TITLE, text(_checked(looked)), table(COLUMNS, rows))


def departures_in_lines(looked, departures, units):
    """The same a line each, for a sheet with little room.

    Parameters
    ----------
    looked, departures, units
        As in `departures_section`.
    """
    held = f"Held against the protocol: {listed(looked)}."
    if all(each.added or each.unread for each in departures):
        held = f"{held} Nothing departs from it."
    lines = [breakable(in_units(each.in_line(), units)) for each in departures]
    return section(TITLE, text(held), *([bullets(lines)] if lines else []))


def _checked(looked):
    return f"Log and facts were held against the protocol: {listed(looked)}."

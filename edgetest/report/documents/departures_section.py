"""Where the test was done otherwise than its protocol asks, for the reader of a document."""

from edgetest.report.documents.blocks import section, table, text
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units
from edgetest.study.wear.protocol_departures import looked_at
from edgetest.study.words import listed

COLUMNS = (
    ("The protocol asks", "left", 1.0),
    ("Done, or not noted", "left", 1.2),
    ("What it means", "left", 1.2),
)


def departures_section(study, departures, units):
    """Each departure with its consequence; where there is none, what was compared to say so.

    Parameters
    ----------
    study : Study
    departures : tuple of ProtocolDeparture
    units : {"metric", "inch", "both"}
    """
    checked = f"Log and facts were held against the protocol: {listed(looked_at(study))}."
    if not departures:
        return section("Departures from the protocol", text(f"{checked} Nothing departs from it."))
    rows = [
        [breakable(in_units(words, units)) for words in (each.asked, each.done, each.means)]
        for each in departures
    ]
    return section("Departures from the protocol", text(checked), table(COLUMNS, rows))

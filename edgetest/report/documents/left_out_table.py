"""The rows of a log that do not count: those of one blade for one reason in one line."""

from edgetest.report.documents.blocks import table
from edgetest.report.documents.readings_table import noted_words, station_words
from edgetest.report.figures.plot_style import reading_words
from edgetest.report.letters import breakable
from edgetest.study.words import counted, row_spans

FEW = 3  # rows of one blade and reason that have a line each. Our choice


def left_out_table(result, excluded, units):
    """The rows that do not count, each with its reason and the mishap that was noted of it.

    Parameters
    ----------
    result : Titled
    excluded : sequence of UsedReading
        More than three of one blade and one reason share a line: their numbers stand among the
        readings.
    units : {"metric", "inch", "both"}

    Returns
    -------
    dict
        A table.
    """
    mishap = {
        row.line: [f"mishap: {row.mishap}"]
        for row in result.log.rows
        if row.mishap and row.mishap != row.exclude
    }
    words, unit = reading_words(result.reading)
    columns = [
        ("Row", "right", "auto"),
        ("Blade", "left", 1.2),
        ("Cuts", "right", "auto"),
        ("Station", "left", "auto"),
        (f"{words}, {unit}" if unit else words, "right", "auto"),
        ("Reason", "left", 2.0),
    ]
    told: dict[tuple[str, str], list] = {}
    for one in excluded:
        reason = "; ".join([one.reason or "no reason given", *mishap.get(one.line, ())])
        told.setdefault((one.blade, reason), []).append(one)
    rows = []
    for (_, reason), mine in told.items():
        parts = [mine] if len(mine) > FEW else [[one] for one in mine]
        rows += [[*_cells(part, units), reason] for part in parts]
    if any(len(mine) > FEW for mine in told.values()):
        columns[0] = ("Row", "left", 1.2)
    return table(columns, rows, caption="Rows of the log that do not count.")


def _cells(mine, units):
    """Rows, blade, cuts, place and number of one reading, or of several by their ends."""
    cuts = [one.cuts for one in mine]
    at = " to ".join(dict.fromkeys(f"{end:g}" for end in (min(cuts), max(cuts))))
    stations = list(dict.fromkeys(one.station for one in mine))
    places = station_words(stations[0], units) if len(stations) == 1 else f"{len(stations)} places"
    numbers = noted_words(mine[0]) if len(mine) == 1 else counted(len(mine), "reading")
    rows = mine[0].line if len(mine) == 1 else row_spans([one.line for one in mine])
    return [rows, breakable(mine[0].blade), at, places, numbers]

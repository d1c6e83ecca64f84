"""Every reading of a document's study, so that whoever gets it can redo the numbers."""

from edgetest.report.documents.blocks import section, table, text
from edgetest.report.figures.plot_style import reading_words
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units
from edgetest.store.logs import LIFE
from edgetest.study.words import counted

HEADING = "The readings"
PLACES = ("", "Block", "Place")  # columns that stand where a line has them
OF_PHOTOGRAPHS = "With a p: from its photograph."
BESIDE = "In square brackets: the other reading of that place, which does not count."
MOST = 2000  # of more a document would be a log; own choice


def readings_sections(result, units):
    """The readings of a study, a line for each run and place along the edge.

    Where all are photographs these have a table of their own, and so have lives noted as such.

    Parameters
    ----------
    result : Titled
    units : {"metric", "inch", "both"}

    Returns
    -------
    list of dict
        One section; none where nothing was typed.
    """
    shown = result.readings
    if result.reading == LIFE or not any(_by_hand(each) for each in shown):
        return []
    if len(shown) > MOST:
        told = f"{counted(len(shown), 'reading')} were taken, too many to print: ask for the log."
        return [section(HEADING, text(told))]
    caption = "In the unit of the heading. Before the colon: the number of cuts made so far."
    if any(each.source == "photograph" for each in shown):
        caption += f" {OF_PHOTOGRAPHS}"
    if any(_both(each) for each in shown):
        caption += f" {BESIDE}"
    if any(each.excluded for each in shown):
        caption += " Those in brackets are left out; the reasons stand under Left out."
    begun = _batches_begun(result, shown)
    columns, rows = _table(_lines(result, shown), begun, result.reading, units)
    return [section(HEADING, table(columns, rows, caption=caption, close=True))]


def _table(lines, begun, reading, units):
    """Columns and rows; block and place only where a line has one."""
    words, unit = reading_words(reading)
    kept = [number for number in (1, 2) if any(line[number] for line in lines)]
    columns = [
        ("Blade read", "left", 0.7),
        *((PLACES[number], "left", 0.6) for number in kept),
        (f"Cuts: {words}, {unit}" if unit else f"Cuts: {words}", "left", 4.0),
    ]
    rows = []
    for (blade, block, station), stages in lines.items():
        cells = (blade, block or "–", station_words(station, units))
        told = (
            f"{begun.get((blade, block, cuts), '')}{cuts:g}: {', '.join(those)}"
            for cuts, those in sorted(stages.items())
        )
        rows.append([*(breakable(cells[number]) for number in (0, *kept)), "; ".join(told)])
    return columns, rows


def _by_hand(reading):
    """Whether a number was typed, whether it counts or its photograph does."""
    return reading.source != "photograph" or reading.typed is not None


def _both(reading):
    """Whether a place has a typed number and a photographed one."""
    return reading.typed is not None and reading.measured is not None


def _beside(reading):
    """The number of the same place that does not count, in square brackets; "" without one."""
    if not _both(reading):
        return ""
    if reading.source == "photograph":
        return f" [{reading.typed:.4g}]"
    return f" [{reading.measured:.4g} p]"


def _lines(result, shown):
    """Readings in words by blade, block and station, and in these by the cuts before them."""
    graded = {row.line: row.readings[result.reading].text for row in result.log.rows
              if result.reading in row.readings}  # fmt: skip
    lines: dict[tuple[str, str, str], dict[float, list[str]]] = {}
    for each in shown:
        told = graded.get(each.line) or noted_words(each)
        told += " p" * (each.source == "photograph") + _beside(each)
        stages = lines.setdefault((each.blade, each.block, each.station), {})
        stages.setdefault(each.cuts, []).append(f"({told})" if each.excluded else told)
    return lines


def _batches_begun(result, shown):
    """By blade, block and cuts: the batch of the medium that was begun there, behind a stage."""
    batch = {row.line: row.batch for row in result.log.rows if row.batch}
    of: dict[tuple[str, str], dict[float, str]] = {}
    for each in shown if batch else ():
        own = of.setdefault((each.blade, each.block), {})
        own[each.cuts] = own.get(each.cuts) or batch.get(each.line, "")
    begun: dict[tuple[str, str, float], str] = {}
    for run, stages in of.items():
        first, *later = sorted(stages)
        last = stages[first]
        for cuts in later:
            if stages[cuts] not in ("", last):
                last = stages[cuts]
                begun[*run, cuts] = f"{last} begun; "
    return begun


def station_words(station, units):
    """A station's label; a bare number is a place in mm."""
    bare = station.replace(".", "", 1).isdigit()
    return in_units(f"{station} mm", units) if bare else station or "–"


def noted_words(reading):
    """A reading as it was noted: a number, a bound, or between two."""
    if reading.value == reading.value:
        return f"{reading.value:.4g}"
    low, high = (
        end if end is not None and end == end and abs(end) != float("inf") else None
        for end in (reading.lower, reading.upper)
    )
    if low is None and high is None:
        return "–"
    if low is None or low == 0:
        return f"below {high:g}" if high is not None else "–"
    return f"above {low:g}" if high is None else f"{low:g} to {high:g}"

"""What a comparison left out, with the reasons, and the mishaps of the bench."""

from edgetest.report.documents.blocks import bullets, section, text
from edgetest.report.documents.left_out_table import left_out_table
from edgetest.study.wear.left_out_rows import mishap_counts, rows_read_after
from edgetest.study.words import listed, row_spans

KEPT = "Mishaps noted at the bench whose readings were kept:"
OTHERS = "Mishaps noted at the bench behind which no reading was kept, or whose row is left out:"
NEVER = "Rows without a reading, with the reason:"


def left_out_sections(result, units):
    """Readings left out with their reasons, rows that were never read, and every mishap.

    Parameters
    ----------
    result : Titled
    units : {"metric", "inch", "both"}

    Returns
    -------
    list of dict
        One section, or none where nothing was left out and no mishap noted.
    """
    excluded = [reading for reading in result.readings if reading.excluded]
    blocks = [left_out_table(result, excluded, units)] if excluded else []
    for lead, lines in _listings(result.log.rows, {reading.line for reading in excluded}):
        blocks += [text(lead, lead=True), bullets(lines)] if lines else []
    never = any(block.get("text") == NEVER for block in blocks)
    heading = "Left out" if excluded or never else "Mishaps"
    return [section(heading, *blocks)] if blocks else []


def _listings(rows, in_table):
    """Each list with the words before it; rows whose readings the table holds are in none."""
    yield NEVER, _never_read(row for row in rows if row.exclude and row.waiting and not row.mishap)
    mishaps = [row for row in rows if row.mishap and row.line not in in_table]
    kept = [row for row in mishaps if mishap_counts(row, rows)]
    yield KEPT, [_noted(row, rows) for row in kept]
    others = [row for row in mishaps if row not in kept]
    yield OTHERS, [f"{_noted(row, rows)}; {_became(row, rows)}" for row in others]


def _never_read(rows):
    """The stages of each blade and reason in one line."""
    told: dict[tuple[str, str], list] = {}
    for row in rows:
        told.setdefault((row.blade, row.exclude), []).append(row)
    return [
        f"{blade} at {listed(dict.fromkeys(f'{row.cuts:g}' for row in mine))} cuts "
        f"(row{'s' * (len(mine) > 1)} {row_spans(row.line for row in mine)}): {reason}"
        for (blade, reason), mine in told.items()
    ]


def _noted(row, rows):
    """A mishap with its blade and row."""
    return f"{row.blade} {_when(row, rows)} (row {row.line}): {row.mishap}"


def _became(row, rows):
    """What became of the row of a mishap, and of what was read after it."""
    after = rows_read_after(row, rows)
    if not row.waiting:
        later = ""
    elif not after:
        later = "the blade was not read after it"
    elif after[0].exclude:
        later = "what was read after it is left out"
    else:
        later = f"the reading at {after[0].cuts:g} cuts counts"
    left = f"the row is left out: {row.exclude}" if row.exclude else ""
    return "; ".join(part for part in (left, later) if part)


def _when(row, rows):
    """At which cuts a mishap was noted; of one between two stages, which readings came next."""
    after = rows_read_after(row, rows)
    if not after:
        return f"at {row.cuts:g} cuts"
    return f"after {row.cuts:g} cuts, before the readings at {after[0].cuts:g}"

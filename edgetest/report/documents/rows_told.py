"""Which rows of a tool were left out, and at which of those that count a mishap is noted?"""

from edgetest.report.documents.chopper_damage import edge_sentences
from edgetest.report.documents.tools_beside import beside
from edgetest.study.chop.told_notes import only_a_knot
from edgetest.study.wear.left_out_rows import mishap_told

FEW = 3  # rows that are told one by one; own choice, so that page one stays one page


def left_out_lines(result, blade):
    """Rows left out with their reasons, of the tool and of those beside it.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    list of str
    """
    lines = []
    for tool in beside(result, blade):
        rows = [row for row in result.log.rows if row.exclude and row.blade == tool]
        if rows:
            of = "" if tool == blade else f" of {tool}"
            lines.append(f"Left out{of}, {_few([_left_out_row(row) for row in rows])}.")
    return lines


def mishap_lines(result, blade, tools):
    """Mishaps in rows that count, a line each tool; not those told beside damage of the edge.

    Parameters
    ----------
    result : ChopResult
    blade : str
        Of the sheet.
    tools : sequence of str
        It or those beside it.

    Returns
    -------
    list of str
    """
    lines = []
    for tool in tools:
        edge = " ".join(edge_sentences(result, tool, "metric"))
        told = [
            f"{row.kind} in row {row.line}: {words}"
            for row in result.log.rows
            if row.blade == tool and not row.exclude and not only_a_knot(row)
            and (words := mishap_told(row.mishap).strip(" ;,.")) and f"“{words}”" not in edge
        ]  # fmt: skip
        if told:
            of = "" if tool == blade else f" of {tool}"
            rows = "rows that count" if len(told) > 1 else "a row that counts"
            lines.append(f"Mishap{of} noted in {rows}, {_few(told)}.")
    return lines


def _few(told):
    """The first rows in words, and how many more there are."""
    more = f"; and {len(told) - FEW} more" if len(told) > FEW else ""
    return "; ".join(told[:FEW]) + more


def _left_out_row(row):
    """A row left out with its reason, and that what was seen of the edge at it counts."""
    seen = row.look_counts and any((row.chips_count, row.rolls_count))
    kept = " (what was seen of the edge counts)" if seen else ""
    mishap = f"; mishap: {row.mishap}" if row.mishap else ""
    return f"{row.kind} in row {row.line}: {row.exclude}{mishap}{kept}"

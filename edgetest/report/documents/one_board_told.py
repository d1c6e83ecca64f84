"""Which rows of a tool's table are of one board each, told once for them all?"""

from edgetest.report.documents.advice import without_advice
from edgetest.study.words import listed


def one_board_lines(result, blade):
    """That pieces of one size come from one board: of one row as found, of several in one line.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    list of str
        Empty where no row is of one board, and at most one line.
    """
    mine = [one for one in result.as_chopped if one.blade == blade]
    found = {
        one.where.row: one.text
        for one in result.doubts
        if (one.code, one.where.blade) == ("one_board", blade)
    }
    rows = [one for one in mine if found.keys() & set(one.rows)]
    if len(rows) < 2:
        return list(found.values())
    woods = listed(dict.fromkeys(one.wood or "wood not noted" for one in rows))
    many = f"{len(rows)} of {len(mine)}" if len(rows) < len(mine) else f"all {len(mine)}"
    allowed = without_advice(next(iter(found.values()))).partition(". ")[2]
    line = (
        f"In {many} rows of the table of pieces ({woods}) the pieces come from one board, so each"
        f" such mean is that board's. {allowed}"
    )
    return [line]

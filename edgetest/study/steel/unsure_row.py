"""Which row of study.toml is the temper whose unit is asked about, where a coupon had several?"""

from edgetest.steel.instrument_clashes import unsure_degrees
from edgetest.study.steel.steel_rows import ONLY_COUPON
from edgetest.study.steel.which_row import ROW


def row_of_unsure(result) -> str:
    """The cell that names its row, as " row=2"; "" where the coupon had that temper alone.

    Parameters
    ----------
    result : SteelResult
        Of the next test "look_up_degrees".
    """
    piece, rows = result.asked.piece, getattr(result, "rows", None)
    own = [one for one in result.seen.heats if one.piece == piece and not one.carburised]
    met = unsure_degrees(own)
    if met is None or rows is None:
        return ""
    heat, temper = met
    mine = [k for k, one in enumerate(rows.tempers, 1) if _of(one, rows) == (piece, heat.coupon)]
    asked = (k for k in mine if rows.tempers[k - 1].temperature_c == temper.temperature_c)
    at = next(asked, None) if len(mine) > 1 else None
    return "" if at is None else f" {ROW}={at}"


def _of(temper, rows) -> tuple[str, str]:
    """Piece, and coupon or blade, of a temper."""
    return temper.piece or rows.piece_names[0], temper.blade or temper.coupon or ONLY_COUPON

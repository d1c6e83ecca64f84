"""Which heats were told by degrees and by a colour that no eye takes for one another?"""

from collections.abc import Iterator
from math import hypot

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.phase_limits import A1_C
from edgetest.steel.steel_tables import SteelTables
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import IN_EVIDENCE, ONLY_COUPON, ONLY_PIECE, SteelRows

APART_U = 2.0  # standard uncertainties from which degrees and colour are asked about; our choice


def colour_asked(rows: SteelRows, tables: SteelTables) -> Iterator[UnusableInput]:
    """Questions about heats whose degrees are far off their colour, the eye's error allowed."""
    for k, heat in enumerate(rows.heats, 1):
        if what := _apart(heat, tables):
            mend = "mend the one that is a slip; if both are as you saw, check the thermometer"
            yield UnusableInput(what, f"{IN_EVIDENCE}, heats {k}, heat_c", mend)


def colour_doubts(rows: SteelRows, tables: SteelTables) -> Iterator[Doubt]:
    """A doubt for each such heat: the chances go by one of the two."""
    for heat in rows.heats:
        if what := _apart(heat, tables):
            piece = heat.piece or rows.piece_names[0]
            who = heat.blade or f"coupon {heat.coupon or ONLY_COUPON}"
            who += f" of {piece}" if piece != ONLY_PIECE and not heat.blade else ""
            by = "magnet" if heat.magnet == "holds" else "degrees"
            at = Where(STUDY_FILE, value=f"{piece}, {heat.coupon or heat.blade}, {heat.heat}")
            who += f", heat {heat.heat}" if heat.heat else ""
            yield doubt("colour_apart", where=at, who=who, what=what, by=by)


def _apart(heat, tables: SteelTables) -> str:
    """That the degrees of a heat are not its colour; "" where they may be."""
    if heat.heat_c is None or heat.colour is None:
        return ""
    row = tables.row("heat", heat.colour)
    by_eye_c, eye_c = A1_C + row["above_c"], row["spread_c"]
    off_c = heat.heat_c - by_eye_c
    if abs(off_c) <= APART_U * hypot(eye_c, tables.row("heat", "instrument")["spread_c"]):
        return ""
    how = "hotter" if off_c > 0 else "cooler"
    return (
        f"{heat.heat_c:.0f} °C is far {how} than {spaced(heat.colour)}, which is some "
        f"{by_eye_c:.0f} °C, and an eye errs by a step of about {eye_c:.0f} °C"
    )

"""Which readings after one temper disagree, so that one of them was of something else?"""

from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.steel.instrument_clashes import read_apart
from edgetest.steel.surely import true_readings
from edgetest.study.steel.row_kinds import hardness_seen
from edgetest.study.steel.steel_rows import IN_EVIDENCE, SteelRows

PLACES = {"below": "hardness_below", "not_stated": "hardness", "skin": "hardness_skin"}


def apart_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Whether the readings of a temper that surely differ were of one coupon on clean steel."""
    for k, temper in enumerate(rows.tempers, 1):
        seen = tuple(
            one
            for where, key in PLACES.items()
            for one in hardness_seen(
                getattr(temper, key), where, scale=temper.scale,
                files_hrc=rows.files_hrc, tester_u_hrc=rows.tester_u_hrc,
            )
        )  # fmt: skip
        if read_apart(seen):
            key = PLACES[true_readings(seen)[0].where]
            typed = getattr(temper, key)
            cells = " and ".join(f"{c:g}" if isinstance(c, float) else c for c in typed)
            again = "grind both places and read again below the skin, as hardness_below"
            if key == "hardness_below":
                again = "read both places again"
            yield UnusableInput(
                f"its readings {cells} disagree, and one temper leaves one hardness",
                f"{IN_EVIDENCE}, tempers {k}, {key}",
                f"{again}; if two coupons were read, give each a row with its own name",
            )

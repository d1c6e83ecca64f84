"""Which tempers changed nothing, for a hotter one stands before them?"""

from collections.abc import Iterable, Iterator
from typing import Any

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.further_tempers import OVEN_C, tempers_left
from edgetest.steel.steel_seen import HeatSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.numbered_heats import heat_numbers, of_coupon
from edgetest.study.steel.steel_rows import IN_EVIDENCE, SteelRows
from edgetest.units import as_typed


def cooler_after_hotter(heats: Iterable[HeatSeen]) -> Iterator[Doubt]:
    """A doubt for each temper of the steel as it is that a hotter one left nothing to do.

    A coupon or blade that was hardened again since begins anew: its old tempers are over.
    """
    heats = list(heats)
    last = {(heat.piece, heat.coupon): heat.heat for heat in heats}
    for heat in heats:
        if heat.heat != last[heat.piece, heat.coupon]:
            continue
        for temper, left in tempers_left(heat):
            if left is not temper:
                cool, hot = (as_typed(one.temperature_c, "c") for one in (temper, left))
                at = Where(STUDY_FILE, value=f"{heat.piece}, {heat.coupon}, heat {heat.heat}")
                who = f"{heat.coupon}, heat {heat.heat}"
                yield doubt("cooler_after_hotter", where=at, who=who, cool=cool, hot=hot)


def short_tempers(heats: Iterable[HeatSeen]) -> Iterator[Doubt]:
    """A doubt for each temper that was too short to count, with its minutes."""
    for heat in heats:
        for temper in heat.tempers:
            if temper.short:
                at = Where(STUDY_FILE, value=f"{heat.piece}, {heat.coupon}, heat {heat.heat}")
                told = as_typed(temper.time_min, "min")
                times = f"{temper.repeats} × " if temper.repeats > 1 else ""
                who = f"{heat.coupon}, heat {heat.heat}"
                yield doubt("temper_too_short", where=at, who=who, time=f"{times}{told}")


def cooler_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Whether a temper that stands behind a hotter one of its heat was made after it."""
    hottest: dict[tuple[Any, ...], float] = {}
    several = {_of(one, rows) for one in rows.heats if one.count > 1}
    last = _last_heats(rows)
    for k, one in enumerate(rows.tempers, 1):
        at_c, of = one.temperature_c, _of(one, rows)
        if at_c is None or of in several or of[-1] < last.get(of[:-1], 1):
            continue
        before = hottest.get(of)
        if before is None or at_c >= before:
            hottest[of] = at_c
        elif at_c < before - OVEN_C:
            cool, hot = as_typed(at_c, "c"), as_typed(before, "c")
            what = f"a temper at {cool} after one at {hot} makes nothing harder"
            mend = (
                f"harden it again and enter that as its next heat, then the temper at {cool}; if "
                "the cooler temper was made first, put its row first in study.toml"
            )
            yield UnusableInput(what, f"{IN_EVIDENCE}, tempers {k}", mend)


def _last_heats(rows: SteelRows) -> dict[tuple[Any, ...], int]:
    """The number of the last heat of each coupon or blade: what was before it is over."""
    last: dict[tuple[Any, ...], int] = {}
    coupons = [_of(row, rows)[:-1] for row in rows.heats]
    numbers = heat_numbers([row.model_dump() for row in rows.heats], coupons)
    for of, number in zip(coupons, numbers, strict=True):
        last[of] = max(last.get(of, 0), number)
    return last


def _of(row: Any, rows: SteelRows) -> tuple[Any, ...]:
    """The coupon or blade that a row is of, and its heat."""
    return *of_coupon(row.model_dump(), rows.piece_names[0]), row.heat or 1

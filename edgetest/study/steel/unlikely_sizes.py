"""Which heats, tempers and sizes of a steel's evidence are hardly met, and may be slips?"""

from collections.abc import Iterable, Iterator
from typing import Any

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.bare_heats import HOT_TEMPER_C, if_fahrenheit, if_hours, typed_bare
from edgetest.steel.contradictions import Contradiction
from edgetest.store.plausible import LEAST_MIN, LEAST_SOAK_MIN, MOST_SOAK_MIN
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.steel_rows import IN_EVIDENCE, ONLY_COUPON, ONLY_PIECE, SteelRows

# From here a bare number is asked about; all of it is common practice, no source. Warm quenching
# oil, 40 to 70 °C, is 100 to 160 °F.
HEAT_C = 1100.0
# Cooler than these nothing is tempered, and no steel hardens; thicker coupons and pieces are hardly
# met.
COLD_TEMPER_C = 100.0
COLD_HEAT_C = 600.0
THICK_COUPON_MM = 40.0
THIN_MM = 1.0  # no blade and no coupon is thinner; a quarter of an inch is typed so
THICK_PIECE_MM = 200.0
MM_PER_INCH = 25.4  # by definition
TANK_C = {"oil": 90.0, "warm_water": 80.0, "water": 60.0, "brine": 60.0}


def unlikely_sizes(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about temperatures, times and sizes that may be meant in another unit.

    A number that was typed with its unit is not asked about, but for a soak of hours.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for k, heat in enumerate(rows.heats, 1):
        where = f"{IN_EVIDENCE}, heats {k}"
        yield from _asked(heat.heat_c, HEAT_C, f"{where}, heat_c", "a quench from")
        most = TANK_C.get(heat.medium or "")
        if heat.medium and most is not None:
            said = heat.medium.replace("_", " ")
            yield from _asked(heat.medium_c, most, f"{where}, medium_c", f"a tank of {said} at")
    for k, temper in enumerate(rows.tempers, 1):
        where = f"{IN_EVIDENCE}, tempers {k}, temperature_c"
        yield from _asked(temper.temperature_c, HOT_TEMPER_C, where, "a temper at")
    yield from (*_hardly(rows), *_times(rows), *_long_soaks(rows))
    packed = rows.pack.temper if rows.pack else None
    if packed is not None and not isinstance(packed, str):
        where = f"{IN_EVIDENCE}, pack, temper, temperature_c"
        yield from _asked(packed.temperature_c, HOT_TEMPER_C, where, "a temper at")


def unlikely_typed(rows: SteelRows, broken: Iterable[Contradiction]) -> Iterator[Doubt]:
    """A doubt for each heat and temper with such a number: what was asked once is still open.

    Parameters
    ----------
    rows : SteelRows
    broken : iterable of Contradiction
        Those told beside it: a temper of which one asks already is not asked about twice. A
        temper too short to count has a doubt of its own.
    """
    asked = {
        (one.heat.piece, one.heat.coupon)
        for one in broken
        if one.heat and " °F is " in one.doubt.text
    }
    for one in unlikely_sizes(rows):
        place, _, key = one.where.removeprefix(f"{IN_EVIDENCE}, ").partition(", ")
        table, _, number = place.partition(" ")
        if table not in ("heats", "tempers") or key == "time_min":
            continue
        row = getattr(rows, table)[int(number) - 1]
        piece = row.piece or rows.piece_names[0]
        coupon = row.blade or row.coupon or ONLY_COUPON
        if table == "tempers" and (piece, coupon) in asked:
            continue
        at = Where(STUDY_FILE, value=f"{piece}, {coupon}, {key}")
        mend = f"{one.mend[:1].upper()}{one.mend[1:]}"
        yield doubt(
            "typed_unlikely",
            where=at,
            who=_who(row, piece, coupon),
            key=key,
            what=one.what,
            mend=mend,
        )


def _who(row, piece: str, coupon: str) -> str:
    """Whose number it is, as a maker reads it."""
    who = f"blade {coupon}" if row.blade else f"coupon {coupon}"
    who += f" of {piece}" if piece != ONLY_PIECE and not row.blade else ""
    return f"{who}, heat {row.heat}" if row.heat else who


def _asked(number: Any, usual_c: float, where: str, said: str) -> Iterator[UnusableInput]:
    """The question about one temperature; none where it is usual, or says its unit."""
    if number is None or number < usual_c or not typed_bare(number):
        return
    in_f, mend = if_fahrenheit(number)
    yield UnusableInput(f"{said} {number:g} °C is unusually hot; {in_f}", where, mend)


def _hardly(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about sizes that are hardly met, such as a slip of the point makes."""
    held = (
        *(("pieces", k, "thickness_mm", one.thickness_mm) for k, one in enumerate(rows.pieces, 1)),
        *(("heats", k, "section_mm", one.section_mm) for k, one in enumerate(rows.heats, 1)),
        *(("heats", k, "heat_c", one.heat_c) for k, one in enumerate(rows.heats, 1)),
        *(("tempers", k, "temperature_c", one.temperature_c)
          for k, one in enumerate(rows.tempers, 1)),
    )  # fmt: skip
    for table, k, key, number in held:
        if number is None or not typed_bare(number):
            continue
        said, unit = _hardly_met(key, number), "mm" if key.endswith("_mm") else "°C"
        if said:
            what = f"{number:g} {unit}: {said}"
            mend = f'mend the number; if it is so, write it with its unit, "{number:g} {unit}"'
            yield UnusableInput(what, f"{IN_EVIDENCE}, {table} {k}, {key}", mend)


def _hardly_met(key: str, number: float) -> str | None:
    """What is odd about a size; None where nothing is."""
    if key.endswith("_mm") and number < THIN_MM:
        return f"no blade is so thin; {number:g} in is {number * MM_PER_INCH:.2f} mm"
    odd = {
        "thickness_mm": (number > THICK_PIECE_MM, "few pieces of steel are so thick"),
        "section_mm": (number > THICK_COUPON_MM, "a coupon is as thin as a blade"),
        "heat_c": (number < COLD_HEAT_C, "no steel hardens from there"),
        "temperature_c": (number < COLD_TEMPER_C, "so cool a temper changes nothing"),
    }
    there, said = odd[key]
    return said if there else None


def _times(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about soaks and tempers of so few minutes that hours may be meant."""
    soaks = (("heats", "soak_min", heat.soak_min, LEAST_SOAK_MIN) for heat in rows.heats)
    tempers = (("tempers", "time_min", one.time_min, LEAST_MIN["temper"]) for one in rows.tempers)
    for held in (soaks, tempers):
        for k, (table, key, number, least) in enumerate(held, 1):
            if number and number < least and typed_bare(number):
                what = f"{'a soak' if table == 'heats' else 'a temper'} of {number:g} min is short"
                yield UnusableInput(what, f"{IN_EVIDENCE}, {table} {k}, {key}", if_hours(number))


def _long_soaks(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about soaks of hours, also typed as such; none where the note tells of the soak."""
    for k, heat in enumerate(rows.heats, 1):
        held = heat.soak_min
        if held is None or held <= MOST_SOAK_MIN or "soak" in heat.note.casefold():
            continue
        yield UnusableInput(
            f"a soak of {held:g} min is long: thin steel is soaked for minutes",
            f"{IN_EVIDENCE}, heats {k}, soak_min",
            'write the minutes at heat, such as "5 min"; if it was so long, say in note why the '
            "soak was",
        )

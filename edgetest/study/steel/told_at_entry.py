"""What is a row of evidence told when it is entered: how a size was read, and a soft skin?"""

from collections.abc import Iterator, Sequence

from edgetest.errors import UnusableInput
from edgetest.steel.bare_heats import typed_bare
from edgetest.steel.fit_for_use import USUAL_WANTED_HRC, WANTED_HRC
from edgetest.steel.surely import is_soft
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.asked_of_steel import asked_of_steel
from edgetest.study.steel.known_beside import known_beside_asked
from edgetest.study.steel.row_kinds import hardness_seen, spaced
from edgetest.study.steel.steel_rows import (
    IN_EVIDENCE,
    ONLY_COUPON,
    CouponHeat,
    CouponTemper,
    SteelRows,
    VerdictWishes,
    steel_rows_of,
)
from edgetest.units import SHOWN, Typed

SKIN = (
    "a file bit, but not below the skin: fire takes carbon from the skin, and a hard steel may be "
    "soft there"
)
SKIN_MEND = "grind 0.3 mm off, file again, and enter hardness_below"
UNTOLD = "this row tells of no quench, and counts as none"
UNTOLD_MEND = (
    "write into it how it was quenched; of a coupon that was lost unread, note=lost will do"
)
KNOWN = "known"  # the place of the steels sparked beside every piece
ROWS = ("pieces", "heats", "tempers", "trials")
WANTED = (
    "How many blades do you want? Write blades_wanted under [verdict] in study.toml; without it"
    " the verdict counts every blade that your pieces would make."
)


def told_of_rows(study: Study, places: set[str]) -> tuple[str, ...]:
    """What is read otherwise than typed, asked, and to be minded of some rows, a line each.

    Parameters
    ----------
    study : Study
        With the rows in it.
    places : set of str
        "heats 2" for the second heat, counted from 1 as in study.toml; `KNOWN`.
    """
    where = tuple(f"{IN_EVIDENCE}, {place}" for place in places)

    def of_rows(one: UnusableInput) -> bool:
        return any(f"{one.where},".startswith((f"{at},", f"{at} (")) for at in where)

    asked = (f"asked: {one}" for one in asked_of_steel(study) if of_rows(one))
    read = (*_read(study, places), *_put_to(study, places))
    told = (*_twice(study, places), *_untold(study, places), *_skins(study, places))
    return (*read, *asked, *_beside(study, places), *told)


def _beside(study: Study, places: set[str]) -> Iterator[str]:
    """The questions about sparks that a steel named just now leaves open."""
    if KNOWN in places:
        yield from (f"asked: {one}" for one in known_beside_asked(steel_rows_of(study)))


def _twice(study: Study, places: set[str]) -> Iterator[str]:
    """Whether a heat or temper that is told as one before was another one: it counts once."""
    rows = steel_rows_of(study)
    for place, row in _each(study, places):
        table, number = place.split()
        if table not in ("heats", "tempers") or row.blade is not None:
            continue
        if row.heat not in ((None, 1) if table == "tempers" else (None,)):
            continue
        if _counted_once(rows, table, int(number)) > _counted_once(rows, table, int(number) - 1):
            what = f"the same stands there already, so this row of {table} counts once with it"
            mend = "if it was of another heat, take this row back and enter it with heat=2"
            yield f"asked: {UnusableInput(what, f'{IN_EVIDENCE}, {place}', mend)}"


def _counted_once(rows: SteelRows, table: str, number: int) -> int:
    """How many of the first so many rows say again what one before them said."""
    heats = rows.heats if table == "tempers" else rows.heats[:number]
    tempers = rows.tempers[:number] if table == "tempers" else ()
    kept = {"heats": _of_coupons(heats), "tempers": _of_coupons(tempers), "trials": ()}
    seen = steel_seen_of(rows.model_copy(update=kept), VerdictWishes())
    return sum(one.code == "entered_twice" for one in seen.doubts)


def _of_coupons(rows):
    return tuple(row for row in rows if row.blade is None)


def new_piece_asked(study: Study, change) -> Iterator[str]:
    """Whether a new piece beside others that names no lot was meant to be one of them."""
    before = (change.before or {}).get("evidence, pieces") or ()
    after = (change.after or {}).get("evidence, pieces") or ()
    pieces = steel_rows_of(study).pieces
    if not before or not isinstance(after, list | tuple) or len(after) != len(pieces):
        return
    yield from pieces_asked(study, len(before), "take it back (edgetest undo)")


def pieces_asked(study: Study, noted: int, take_back: str) -> Iterator[str]:
    """The same of every piece behind the first so many, which were noted before.

    Parameters
    ----------
    study : Study
        With the new pieces in it.
    noted : int
    take_back : str
        How a piece is taken back where it was entered.
    """
    pieces = steel_rows_of(study).pieces
    for k, one in enumerate(pieces[noted:], noted + 1):
        others = [p.id for p in pieces[:noted]]
        if others and one.lot is None:
            what = f"{one.id} is a new piece beside {', '.join(others)}"
            lot = "; if it came with them, give it their lot"
            mend = f"if one of those was meant, {take_back}{lot}"
            yield f"asked: {UnusableInput(what, f'{IN_EVIDENCE}, pieces {k} ({one.id})', mend)}"


def use_as_read(use: str, typed: str) -> str:
    """As what a use is judged, how hard it is wanted, where that is changed, and for two uses."""
    low, high = WANTED_HRC.get(use, USUAL_WANTED_HRC)
    shaves = use == "chisel" and spaced(use) not in typed.casefold()
    why = " (it shaves wood, as a chisel does, and a chisel asks a tougher steel)" * shaves
    return (
        f'read: "{typed}" is judged as a {spaced(use)}{why}, wanted at {low:g} to {high:g} HRC '
        f"after the temper (common practice, no source); hardness_hrc of [verdict] in {STUDY_FILE} "
        "changes it. One study judges one use: for another, copy the folder, and write use, and "
        "hardness_hrc where you wrote one, anew there, and use = the first one into its trials"
    )


def rows_changed(change, pieces: Sequence[str] = ()) -> set[str]:
    """The rows of evidence that a change added or filled, as "heats 2", and `KNOWN`.

    Parameters
    ----------
    change : Change
    pieces : sequence of str
        Ids of the pieces in their order: a change of one names it by its id.
    """
    found = set()
    for place, after in (change.after or {}).items():
        parts = place.split(", ")
        if parts[0] != "evidence" or len(parts) < 2:
            continue
        found |= {KNOWN} if parts[1] in ("known_low", "known_high") else set()
        if parts[1] not in ROWS:
            continue
        if isinstance(after, list) and len(parts) == 2:
            before = (change.before or {}).get(place) or ()
            found |= {f"{parts[1]} {k}" for k in range(len(before) + 1, len(after) + 1)}
        elif len(parts) > 2:
            at = pieces.index(parts[2]) if parts[1] == "pieces" else int(parts[2])
            found.add(f"{parts[1]} {at + 1}")
    return found


def _each(study: Study, places: set[str]):
    """The rows at some places, each with its place."""
    rows = steel_rows_of(study)
    for table in ROWS:
        for k, row in enumerate(getattr(rows, table), 1):
            if f"{table} {k}" in places:
                yield f"{table} {k}", row


def _read(study: Study, places: set[str]) -> Iterator[str]:
    """Sizes typed in another unit than the key's, with what they are in it."""
    for place, row in _each(study, places):
        for key in type(row).model_fields:
            number, unit = getattr(row, key), key.rpartition("_")[2]
            if not isinstance(number, Typed) or typed_bare(number):
                continue
            size = f"{number:.0f}" if unit == "c" else f"{number:.4g}"
            if f"{number:g}" not in str(number.typed).replace(
                ",", "."
            ):  # 6.35 mm was read as it stands
                told = f"{number.typed} is {size} {SHOWN.get(unit, unit)}"
                yield f"read: {IN_EVIDENCE}, {place}, {key}: {told}"


def _put_to(study: Study, places: set[str]) -> Iterator[str]:
    """Of which coupon and heat a temper is taken to be that names no coupon."""
    rows = steel_rows_of(study)
    for place, row in _each(study, places):
        if not isinstance(row, CouponTemper) or row.blade is not None or row.coupon is not None:
            continue
        number = int(place.split()[1])
        others = (*rows.tempers[: number - 1], *rows.tempers[number:])
        before = rows.model_copy(update={"tempers": others})
        had = {
            _heat(one): len(one.tempers)
            for one in steel_seen_of(before, VerdictWishes()).seen.heats
        }
        for one in steel_seen_of(rows, VerdictWishes()).seen.heats:
            if len(one.tempers) > had.get(_heat(one), 0):
                told = f"taken as of coupon {one.coupon}, heat {one.heat}"
                yield f"read: {IN_EVIDENCE}, {place}: {told}"


def _heat(one):
    return one.piece, one.coupon, one.heat


def _untold(study: Study, places: set[str]) -> Iterator[str]:
    """That a row of a heat with no more than a note counts as no quench."""
    rows = steel_rows_of(study)
    noted = steel_seen_of(rows, VerdictWishes()).noted
    bare = {_heat(one) for one in noted.heats if one.untold}
    bare -= {(one.piece, *(one.heat or ())) for one in noted.trials}
    for place, row in _each(study, places):
        if not isinstance(row, CouponHeat) or row.blade is not None:
            continue
        if (row.piece or rows.piece_names[0], row.coupon or ONLY_COUPON, row.heat or 1) in bare:
            yield f"mind: {UnusableInput(UNTOLD, f'{IN_EVIDENCE}, {place}', UNTOLD_MEND)}"


def _skins(study: Study, places: set[str]) -> Iterator[str]:
    """That a skin may be soft, where a soft reading was not made below it."""
    files = steel_rows_of(study).files_hrc
    for place, row in _each(study, places):
        if not isinstance(row, CouponHeat) or row.hardness_below:
            continue
        cells = (*row.hardness_skin, *row.hardness)
        seen = hardness_seen(cells, "skin", scale=row.scale, files_hrc=files)
        if any(map(is_soft, seen)):
            fault = UnusableInput(SKIN, f"{IN_EVIDENCE}, {place}", SKIN_MEND)
            yield f"mind: {fault}"

"""What of a steel's evidence may be meant otherwise: °F for °C, hours for minutes, which blade?"""

from collections.abc import Iterable, Iterator
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import AS_BOUGHT
from edgetest.steel.tough_tried import at_degrees
from edgetest.steel.tried_blades import LEAST_STROKES
from edgetest.store.days import day_as_meant
from edgetest.store.records import Study
from edgetest.study.steel.beside_unsaid import beside_two, beside_unsaid
from edgetest.study.steel.bundles_asked import bundles_asked
from edgetest.study.steel.colour_apart import colour_asked
from edgetest.study.steel.cooler_tempers import cooler_asked
from edgetest.study.steel.files_asked import files_asked
from edgetest.study.steel.known_beside import known_beside_asked
from edgetest.study.steel.readings_apart import apart_asked
from edgetest.study.steel.row_kinds import life_ratio_seen
from edgetest.study.steel.second_heats import second_heats_asked
from edgetest.study.steel.steel_rows import (
    IN_EVIDENCE,
    ONLY_COUPON,
    ONLY_PIECE,
    CouponHeat,
    CouponTemper,
    CouponTrial,
    SteelRows,
    steel_rows_of,
    verdict_wishes_of,
)
from edgetest.study.steel.steel_tables_file import load_steel_tables, own_tables_file
from edgetest.study.steel.stopped_asked import stopped_asked
from edgetest.study.steel.unbroken_grain import unbroken_grain
from edgetest.study.steel.unlikely_sizes import unlikely_sizes
from edgetest.study.steel.use_unsaid import use_unsaid
from edgetest.study.words import listed

# Lives so much longer or shorter than a known blade's are hardly met; our choice.
LONG_LIFE, SHORT_LIFE = 5.0, 0.05
UNQUENCHED = (
    "nobody has entered it as quenched yet",
    "add a heat with {coupon}: its medium, how hot it was, and its hardness before the temper",
)
UNREAD = (
    "nobody has entered how hard it came out as quenched",
    "if it was filed before its temper, add hardness_below to the heat with {coupon}; else leave "
    "it out, and file the next one before its temper",
)


def asked_of_steel(study: Study) -> Iterator[UnusableInput]:
    """Questions about bare numbers of another unit, and trials whose heat nobody wrote down.

    A number that was typed with its unit is not asked about, but for a soak of hours.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    rows = steel_rows_of(study)
    yield from unlikely_sizes(rows)
    tables = load_steel_tables(own_tables_file(study, verdict_wishes_of(study).tables))
    yield from colour_asked(rows, tables)
    yield from (*_numbers(rows), *bundles_asked(rows), *_without_degrees(rows))
    yield from (*second_heats_asked(rows), *unbroken_grain(rows))
    yield from known_beside_asked(rows)
    yield from _days(rows)
    for k, trial in enumerate(rows.trials, 1):
        yield from _heat_of(trial, rows, f"{IN_EVIDENCE}, trials {k}")
        yield from _which_heat(trial, rows, f"{IN_EVIDENCE}, trials {k}")
    yield from _unquenched(rows)
    yield from _told_twice(rows)
    yield from _told_more(rows)
    yield from use_unsaid(rows, verdict_wishes_of(study).use)
    yield from (*_unstroked(rows), *beside_unsaid(rows), *beside_two(rows))
    yield from _which_temper(rows)
    yield from (*cooler_asked(rows), *files_asked(rows), *apart_asked(rows), *stopped_asked(rows))


def _numbers(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about a number of blades, and lives so long or short that a slip may be meant."""
    worked = {row.piece for row in (*rows.heats, *rows.trials)}  # of those it is meant: set aside
    for k, piece in enumerate(rows.pieces, 1):
        if piece.makes_blades == 0 and piece.id not in worked:
            what = "a piece that makes no blade pays for no test, and is set aside"
            mend = (
                "write how many blades it would make, or take it out where you do not know; where "
                "you gave it up, leave it so"
            )
            yield UnusableInput(what, f"{IN_EVIDENCE}, pieces {k} ({piece.id}), makes_blades", mend)
    for k, trial in enumerate(rows.trials, 1):
        ratio, log_u = life_ratio_seen(trial.life_ratio) if trial.life_ratio else (1.0, None)
        if log_u is None and not SHORT_LIFE <= ratio <= LONG_LIFE:
            what = f"a life of {ratio:g} times the known blade's is hardly met"
            mend = "mend the number; if it was so, write it with its 95 % interval"
            yield UnusableInput(what, f"{IN_EVIDENCE}, trials {k}, life_ratio", mend)


def _without_degrees(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about readings after a temper of which nobody wrote how hot it was."""
    told = [one for one in rows.tempers if one.temperature_c is not None]
    for k, one in enumerate(rows.tempers, 1):
        read = one.hardness or one.hardness_skin or one.hardness_below
        if one in told or one.blade is not None or not read:
            continue
        piece = one.piece or rows.piece_names[0]
        own = (each for each in told if _of_piece(each, rows, piece))
        if not any(one.coupon in (None, each.coupon) for each in own):
            what = "it says how hard the temper left it, and not at how many degrees"
            mend = "write them; where nobody knows them, temper another by no reading of this one"
            yield UnusableInput(what, f"{IN_EVIDENCE}, tempers {k}, temperature_c", mend)


def _days(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about days that are not written year first, and so stand in no order."""
    for k, trial in enumerate(rows.trials, 1):
        if (meant := day_as_meant(trial.day)) != trial.day:
            what, where = f'"{trial.day}" is read as {meant}', f"{IN_EVIDENCE}, trials {k}, day"
            yield UnusableInput(what, where, f"write {meant}: year first")


def _heat_of(trial: CouponTrial, rows: SteelRows, where: str) -> Iterator[UnusableInput]:
    """The question which heat and temper a trial piece had, where the evidence does not tell."""
    piece = trial.piece or rows.piece_names[0]
    if trial.blade is not None or trial.carburised:  # told with the blade, or with the pack
        return
    if _bought(trial, rows, piece):  # nobody here knows its temper, and the trial does not count
        return
    coupons = _coupons(rows.heats, rows, piece)
    coupon = trial.coupon or (next(iter(coupons)) if len(coupons) == 1 else None)
    if coupon is None:
        none = "the piece has several" if coupons else "no heat of this piece is written down"
        what = f"which coupon or blade was tried is not said, and {none}"
        mend = "add coupon = its own name, and give its heat and temper under that name"
        yield UnusableInput(what, where, f"{mend}: a trial tells of the heat that it went through")
    elif coupon not in coupons:
        what = f"coupon {coupon} has no heat: what it was quenched from, and into, is not known"
        mend = f"add a heat with coupon = {coupon}, and its temper"
        others = (one for one in rows.piece_names if coupon in _coupons(rows.heats, rows, one))
        if (other := next(others, None)) is not None:
            what = f"{piece} has no coupon {coupon}, and {other} has one"
            mend = f"write piece = {other}, if that was tried; else {mend}"
        yield UnusableInput(what, where, mend)
    elif trial.temper_c is None and coupon not in _coupons(rows.tempers, rows, piece):
        what = f"coupon {coupon} has no temper: a blade is judged by the temper that it had"
        yield UnusableInput(what, where, f"add a temper with coupon = {coupon}")


def _bought(trial: CouponTrial, rows: SteelRows, piece: str) -> bool:
    """Whether a trial piece was hardened before the maker had it."""
    own = (one for one in rows.heats if one.medium == AS_BOUGHT and _of_piece(one, rows, piece))
    return any((one.coupon, one.heat or 1) == (trial.coupon, trial.heat or 1) for one in own)


def _which_heat(trial: CouponTrial, rows: SteelRows, where: str) -> Iterator[UnusableInput]:
    """The question which of its heats a blade was tried after, where it was hardened again."""
    if trial.heat is not None or trial.coupon is None:
        return
    piece = trial.piece or rows.piece_names[0]
    own = {one.heat for one in rows.heats if one.coupon == trial.coupon and
           _of_piece(one, rows, piece)}  # fmt: skip
    if len(own) > 1:
        what = f"{trial.coupon} had {len(own)} heats, and the trial names none: heat 1 is taken"
        yield UnusableInput(what, where, "add heat = the number of the heat that was tried")


def _unquenched(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about tempers of coupons that nobody entered as quenched, once a coupon."""
    asked = set()
    for k, temper in enumerate(rows.tempers, 1):
        piece = temper.piece or rows.piece_names[0]
        own = _heats_tempered(temper, rows, piece)
        coupon = temper.coupon or (own[0].coupon if own else None) or ONLY_COUPON
        read = any(one.hardness or one.hardness_below or one.hardness_skin for one in own)
        if temper.blade is not None or read or (piece, coupon, temper.heat) in asked:
            continue
        asked.add((piece, coupon, temper.heat))
        key = f", heat = {temper.heat}" if temper.heat else ""
        what, mend = UNREAD if own else UNQUENCHED
        named = f"coupon {coupon} of {piece}" if piece != ONLY_PIECE else f"coupon {coupon}"
        yield UnusableInput(
            f"{named} was tempered, and {what}",
            f"{IN_EVIDENCE}, tempers {k}",
            mend.format(coupon=f"coupon = {coupon}{key}"),
        )


def _heats_tempered(temper: CouponTemper, rows: SteelRows, piece: str) -> list[CouponHeat]:
    """The heats that a temper may be of: its coupon's, and the one that it names."""
    own = [one for one in rows.heats if _of_piece(one, rows, piece)]
    if temper.coupon is not None or len({one.coupon for one in own}) > 1:
        own = [one for one in own if one.coupon == temper.coupon]
    if temper.heat is None:
        return own
    return [one for at, one in enumerate(own, 1) if (one.heat or at) == temper.heat]


def _which_temper(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions which of several tempers a coupon or blade had when it was tried."""
    for k, trial in enumerate(rows.trials, 1):
        if trial.temper_c is not None or trial.coupon is None or trial.carburised:
            continue
        piece = trial.piece or rows.piece_names[0]
        only = _coupons(rows.heats, rows, piece) == {trial.coupon}
        named = (trial.coupon, None) if only else (trial.coupon,)
        own = (
            one.temperature_c for one in rows.tempers
            if _of_piece(one, rows, piece) and one.coupon in named
            and (one.heat or 1) == (trial.heat or 1)
        )  # fmt: skip
        if len(told := dict.fromkeys(own)) > 1:
            what = f"{trial.coupon} had tempers {at_degrees(told)}, and the trial"
            mend = "add temper_c = the one that it had when it was tried"
            yield UnusableInput(f"{what} names none", f"{IN_EVIDENCE}, trials {k}", mend)


def _unstroked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about chops of a whole edge whose strokes nobody wrote down."""
    for k, trial in enumerate(rows.trials, 1):
        failed = trial.edge not in (None, "sound") or trial.life_ratio is not None
        if trial.test == "chop" and trial.strokes is None and not failed:
            what = "how many strokes the blade made is not said, and one stroke tells nothing"
            mend = f"add strokes = their number; from {LEAST_STROKES} on a whole edge counts"
            yield UnusableInput(what, f"{IN_EVIDENCE}, trials {k}", mend)


def _told_twice(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about trials that a row before them tells in the same words."""
    told = [one.model_copy(update={"day": day_as_meant(one.day)}) for one in rows.trials]
    for k, trial in enumerate(told, 1):
        first = told.index(trial) + 1
        if first < k:
            what = f"the same trial stands there already, as trials {first}, so it counts once"
            mend = "if it was made twice, give each its day, or temper_c, the temper that it had"
            where = f"{IN_EVIDENCE}, trials {k}"
            yield UnusableInput(what, where, f"{mend} then; else take this row out")


def _told_more(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about trials that take nothing back of one before them, and say a word more."""
    said = [_said(trial) for trial in rows.trials]
    for k, now in enumerate(said):
        before = [n for n in range(k) if _adds_to(now, said[n])]
        if before:
            more = listed([key for key in now if key not in said[before[-1]]])
            yield UnusableInput(
                f"it says {more} beside what trials {before[-1] + 1} says, nothing against it, and "
                f"stands as a second trial of {now['coupon']}",
                f"{IN_EVIDENCE}, trials {k + 1}",
                f"if it is the same, take this row back and type it with --replace, which puts "
                f"{more} into the first; if it was another, give each its day",
            )


def _adds_to(now: dict[str, Any], before: dict[str, Any]) -> bool:
    """Whether a trial of the same coupon, heat and test says more than one before, and no other."""
    same = all(now.get(key) == before.get(key) for key in ("piece", "coupon", "heat", "test"))
    agree = all(now[key] == before[key] for key in now.keys() & before.keys())
    return bool(now.get("coupon")) and same and agree and bool(now.keys() - before.keys())


def _said(trial: CouponTrial) -> dict[str, Any]:
    """What a trial says, without what is blank."""
    told = {**trial.model_dump(), "heat": trial.heat or 1, "day": day_as_meant(trial.day)}
    return {key: value for key, value in told.items() if value not in (None, "", ())}


def _coupons(told: Iterable[CouponHeat | CouponTemper], rows: SteelRows, piece: str) -> set[str]:
    """Coupons of a piece that some rows speak of; one that a row leaves out is the only one."""
    mine = [row for row in told if _of_piece(row, rows, piece)]
    found = {row.coupon or ONLY_COUPON for row in mine}
    only = {row.coupon or ONLY_COUPON for row in rows.heats if _of_piece(row, rows, piece)}
    return found | only if any(row.coupon is None for row in mine) and len(only) == 1 else found


def _of_piece(row: CouponHeat | CouponTemper, rows: SteelRows, piece: str) -> bool:
    return row.blade is None and (row.piece or rows.piece_names[0]) == piece

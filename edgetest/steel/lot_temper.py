"""At which temper did a sister's blade stand, so that a coupon of the same lot begins there?"""

from dataclasses import replace

from edgetest.steel.heats_once import merged
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_words import NextTest
from edgetest.steel.surely import all_harder, comparable
from edgetest.steel.tried_blades import temper_of, tried_blades

ONE_TEMPER = 1 / 6  # of the work of a row of tempers, that of one with its reading; our choice


def lot_temper(seen: SteelSeen, piece: str | None) -> tuple[str, str, float] | None:
    """The sister, its blade that stood at the last, and that blade's temper, °C; None for none.

    The coupon of the piece and the blade came out alike as quenched, as far as the readings tell;
    where nobody read that blade as quenched, the last coupon of its piece that was read.
    """
    found = _found(seen, piece)
    return None if found is None else found[:3]


def _found(seen, piece):
    """The same, and the coupon that was read for the blade; None there where that was read."""
    own = [heat for heat in _heats(seen, piece) if heat.hardness]
    for sister in _sisters(seen, piece) if own else []:
        stood = _stood_at(seen, sister)
        if stood is None:
            continue
        blade, at_c, read = stood
        if read is not None and _as_hard(own[-1], read):
            return sister, blade, at_c, None if read.coupon == blade else read.coupon
    return None


def sisters_temper_c(at: Situation) -> float | None:
    """The temper that a sister's blade showed, °C, while the piece's own coupon has had none."""
    if at.best is None or at.temper_state(at.best) != "none":
        return None
    found = lot_temper(at.seen, at.piece.id)
    return None if found is None else found[2]


def sister_stood(at: Situation) -> bool:
    """Whether a sister's blade stood at a temper that is known, and nobody read a coupon here."""
    if any(heat.hardness for heat in _heats(at.seen, at.piece.id)):
        return False
    return any(_stood_at(at.seen, one) for one in _sisters(at.seen, at.piece.id))


def one_temper(test: NextTest, at_c: float) -> NextTest:
    """The test of a row of tempers as the one of them that a sister's blade showed."""
    return replace(
        test,
        title=f"one temper, at {at_c:.0f} °C, and a reading after it",
        why="A blade of a sister as hard from its quench stood at it. Where it reads in the range "
        "wanted, no other step is needed. It stands in the oven for an hour besides.",
        hours=test.hours * ONE_TEMPER,
    )


def _sisters(seen, piece):
    """Ids of the other pieces of its lot."""
    lot = next((one.lot for one in seen.pieces if one.id == piece), None)
    return [one.id for one in seen.pieces if lot and one.lot == lot and one.id != piece]


def _as_hard(one, other):
    """Whether two heats were read, and neither surely came out harder than the other."""
    here, there = comparable(one.hardness, other.hardness)
    return bool(here) and not all_harder(here, there) and not all_harder(there, here)


def begin_there(seen: SteelSeen, piece: str | None) -> str:
    """Where a row of tempers begins for what a sister's blade showed; "" where none did."""
    found = _found(seen, piece)
    if found is None:
        return ""
    sister, blade, at_c, coupon = found
    hard = " and as hard from its quench" if coupon is None else f", whose {coupon} came as hard"
    return (
        f"{blade} of {sister}, of the same lot{hard}, stood at "
        f"{at_c:.0f} °C: temper there first. Where that reads in the range wanted, no other step "
        "is needed."
    )


def _stood_at(seen, piece):
    """The blade of a piece that stood at the last, its degrees, and a heat read for it; or None."""
    heats = merged(_heats(seen, piece))
    trials = [t for t in seen.trials if t.piece == piece and not t.carburised]
    blades = tried_blades(trials, heats)
    last = blades[-1] if blades else None
    if last is None or last.at is None or not last.stood:
        return None
    temper = temper_of(last, blades, heats)
    at_c = temper and temper.temperature_c
    if at_c is None:
        return None
    read = [one for one in heats if one.hardness]
    own = [one for one in read if (one.coupon, one.heat) == last.at]
    return last.at[0], at_c, next(iter((own or read)[-1:]), None)


def _heats(seen, piece):
    return [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]

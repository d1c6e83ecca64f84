"""At which temper did a sister's blade stand, so that a coupon of the same lot begins there?"""

from edgetest.steel.heats_once import merged
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.surely import all_harder, comparable
from edgetest.steel.tried_blades import temper_of, tried_blades


def lot_temper(seen: SteelSeen, piece: str | None) -> tuple[str, str, float] | None:
    """The sister, its blade that stood at the last, and that blade's temper, °C; None for none.

    The coupon of the piece and the blade came out alike as quenched, as far as the readings tell.
    """
    own = [heat for heat in _heats(seen, piece) if heat.hardness]
    for sister in _sisters(seen, piece) if own else []:
        found = _stood_at(seen, sister)
        if found is not None and _as_hard(own[-1], found[0]):
            return sister, found[0].coupon, found[1]
    return None


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
    found = lot_temper(seen, piece)
    if found is None:
        return ""
    sister, blade, at_c = found
    return (
        f"{blade} of {sister}, of the same lot and as hard from its quench, stood at "
        f"{at_c:.0f} °C: temper there first. Where that reads in the range wanted, no other step "
        "is needed."
    )


def _stood_at(seen, piece):
    """The heat and the degrees of the blade of a piece that stood at the last; None for none."""
    heats = merged(_heats(seen, piece))
    trials = [t for t in seen.trials if t.piece == piece and not t.carburised]
    blades = tried_blades(trials, heats)
    last = blades[-1] if blades else None
    heat = next((one for one in heats if last and (one.coupon, one.heat) == last.at), None)
    if last is None or heat is None or not last.stood:
        return None
    temper = temper_of(last, blades, heats)
    at_c = temper and temper.temperature_c
    return None if at_c is None else (heat, at_c)


def _heats(seen, piece):
    return [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]

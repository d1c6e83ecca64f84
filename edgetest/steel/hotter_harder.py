"""Which hotter heat of the same steel came out harder, so that a cooler one missed its heat?"""

from collections.abc import Iterable

from edgetest.steel.alike_heats import PLAINLY_HOTTER_C, thicker, told_hot
from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.heats_once import merged
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.surely import came_higher, high_of, low_of, of_place

COLD_TOLD = 0.05  # chance of too cold a heat from which a page tells it; our choice
COLD_FOR_POOR = (
    " Too cold is meant for a steel of so little carbon: that asks for more heat than an edge "
    "steel, which hardens from this heat."
)


def hotter_harder(heat: HeatSeen, seen: SteelSeen) -> HeatSeen | None:
    """The hotter heat that came out wholly harder: of the piece, else of its lot; None for none.

    Both were read below the skin by the same means and quenched in the same medium; the hotter one
    is whole and not coarse. Where the piece itself came out no harder from a heat as hot, a
    sister's says nothing of it. Of several the least hot.

    Parameters
    ----------
    heat : HeatSeen
    seen : SteelSeen
    """
    own = _hotter(heat, (one for one in seen.heats if one.piece == heat.piece))
    if own:
        return _least_hot(one for one in own if _wholly_harder(one, heat))
    lot = next((one.lot for one in seen.pieces if one.id == heat.piece), None)
    sisters = {one.id for one in seen.pieces if lot and one.lot == lot} - {heat.piece}
    of_lot = _hotter(heat, (one for one in seen.heats if one.piece in sisters))
    return _least_hot(one for one in of_lot if _wholly_harder(one, heat))


def not_the_coldest(heats: Iterable[HeatSeen]) -> list[HeatSeen]:
    """Heats of one piece without those that a hotter one of them came out wholly harder than."""
    heats = list(heats)
    return [
        one for one in heats
        if not any(_wholly_harder(hot, one) for hot in _hotter(one, heats))
    ]  # fmt: skip


def harder_words(heat: HeatSeen, hotter: HeatSeen) -> str:
    """What both were read and from how hot, in a sentence that ends before what follows of it."""
    return (
        f"{_name(heat)} read {_read(heat)} from {degrees_told(heat.heat_c)}, and {_name(hotter)}"
        f"{_whose(heat, hotter)} {_read(hotter)} from {degrees_told(hotter.heat_c)}"
    )


def too_cool_words(belief, seen: SteelSeen, *, poor: bool = False) -> str:
    """That a hotter heat came out harder, which the chances of a heat do not count; else "".

    Of a steel that is left as too poor in carbon, for which steel its heat may be too cold.

    Parameters
    ----------
    belief : HeatBelief
        Of the heat: its piece, coupon and number, and the chances of what was done.
    seen : SteelSeen
    poor : bool
        Whether the piece is told to have too little carbon.
    """
    at = (belief.piece, belief.coupon, belief.heat)
    own = (one for one in merged(seen.heats) if (one.piece, one.coupon, one.heat) == at)
    heat = next(own, None)
    hotter = None if heat is None else hotter_harder(heat, seen)
    if heat is not None and poor and belief.chances["too_cold"] >= COLD_TOLD and told_hot(heat):
        return COLD_FOR_POOR
    if heat is None or hotter is None:
        return ""
    hot = degrees_told(hotter.heat_c)
    return (
        f" That holds no heat's degrees against another's: {_name(hotter)}{_whose(heat, hotter)} "
        f"came out harder from {hot}, so this one may well have been too cool."
    )


def _hotter(heat, others):
    """Heats that were plainly hotter than one, made and read like it, whole and not coarse."""
    if heat.heat_c is None or heat.medium is None or heat.carburised or heat.grain == "coarse":
        return []
    return [
        one for one in merged(others)
        if one.heat_c is not None and one.heat_c >= heat.heat_c + PLAINLY_HOTTER_C
        and one.medium == heat.medium and not one.carburised and not one.cracked
        and one.grain != "coarse" and not thicker(heat, one) and _read_alike(one, heat)
    ]  # fmt: skip


def _read_alike(one, other):
    """Whether both were read below the skin, by files or by a tester alone."""
    here, there = of_place(one.hardness, "below"), of_place(other.hardness, "below")
    return bool(here and there) and len({each.by_files for each in (*here, *there)}) == 1


def _wholly_harder(one, other):
    """Whether every reading of one below the skin lies above every one of the other."""
    here, there = of_place(one.hardness, "below"), of_place(other.hardness, "below")
    return all(came_higher(a, b) for a in here for b in there)


def _least_hot(heats):
    return min(heats, key=lambda one: one.heat_c, default=None)


def _whose(heat, hotter):
    """Of which sister the hotter one was; "" of the piece itself."""
    return "" if hotter.piece == heat.piece else f" of {hotter.piece}, of the same lot,"


def _name(heat):
    return f"{heat.coupon}, heat {heat.heat},"


def _read(heat):
    """Lowest and highest that was read below the skin, an open end in words."""
    read = of_place(heat.hardness, "below")
    low, high = min(map(low_of, read)), max(map(high_of, read))
    if low == high:
        return f"{low:g} HRC"
    if high == float("inf"):
        return f"over {low:g} HRC"
    return f"under {high:g} HRC" if low == -float("inf") else f"{low:g} to {high:g} HRC"

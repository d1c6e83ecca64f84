"""How is a coupon or blade that is heat-treated once more written down, so that no heat is lost?"""

import re
from shlex import quote

from edgetest.steel.advised_temper import advised_c
from edgetest.steel.after_coarse import heat_that_was_fine
from edgetest.steel.alike_heats import ALIKE_C, coarse_since
from edgetest.steel.cooler_heat import AS_HOT
from edgetest.steel.fit_for_use import wanted_hrc
from edgetest.steel.medium_asked import medium_again
from edgetest.steel.steel_seen import BLADE_NAME, HeatSeen, SteelSeen
from edgetest.steel.waiting_coupon import stepped_c
from edgetest.study.steel.fill_in import (
    MAGNET_HOT,
    hardness_to_fill_in,
    heat_to_fill_in,
    to_fill_in,
)

COARSE = ("cooler", "normalise")  # ways that cure a coarse grain
SNAPPED = ("snapped_clean", "bent_then_broke")  # a coupon that is in two parts
AS_C = re.compile(rf"{AS_HOT}, (\d+) °C")
SOAK_MIN, LONG_SOAK_MIN = 5, 10  # at heat; common practice
ANEW = (
    "Write it down as it is done, a heat with a number of its own. Fill in the words in capitals:"
)
OIL_FIRST = (
    "It is oil, for no coupon of this piece was quenched in oil from so hot yet, and oil cracks "
    "less than water: where it comes out no harder, quench as before from as hot."
)
SAME_HEAT = (
    "Write it down as it is done, under the heat that it had. Fill in the words in capitals:"
)


def again_hint(decision, piece: str | None, seen: SteelSeen, folder, new: str) -> str:
    """The lines for the heat or temper that a step asks for; "" where no heat is known.

    Parameters
    ----------
    decision : SteelDecision
        Of the action "heat_treat_again".
    piece : str or None
    seen : SteelSeen
        All that was seen.
    folder : path-like
        The study, as it was typed.
    new : str
        What a new blade or coupon is called, where the last one is of no use any more.
    """
    own = [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]
    if piece is None or not own:
        return ""
    base = next((heat for heat in own if (heat.coupon, heat.heat) == decision.of), own[-1])
    same = decision.of is not None and decision.way in ("temper_hotter", "grind_skin")
    on = decision.of is not None and (same or not _spoilt(base, own, decision.way))
    number = _number(base, own, same=same) if on else 1
    coupon = quote(base.coupon if on else new)
    here = f"piece={quote(piece)} coupon={coupon} heat={number}"
    told = (
        f"edgetest enter {quote(str(folder))} --evidence {row}"
        for row in _rows_again(base, decision.way, here, seen, same=same, to_c=_to_c(decision))
    )
    rows = "\n  ".join((SAME_HEAT if same else ANEW, *told))
    return rows + _oil_first(base, decision.way, own)


def _oil_first(base: HeatSeen, way, own) -> str:
    """Why a hotter heat is to go into oil, where the one before it did not; "" elsewhere."""
    hotter = way == "hotter" and base.medium is not None
    return f"\n{OIL_FIRST}" * (hotter and medium_again(base, way, own) != base.medium)


def _cracked(base: HeatSeen, own) -> bool:
    """Whether the coupon of a heat cracked in any of its quenches: a crack stays."""
    return any(heat.cracked for heat in own if heat.coupon == base.coupon)


def _spoilt(base: HeatSeen, own, way) -> bool:
    """Whether another coupon is taken: for a crack, for one in two parts, for a coarse grain.

    A grain is cured by a cycle, and the coupon stays.
    """
    uncycled = way != "normalise" and _coarse(base, own)
    return _cracked(base, own) or _snapped(base, own) or uncycled


def _snapped(base: HeatSeen, own) -> bool:
    """Whether a coupon, and no blade, was broken to see its grain in any of its heats."""
    broken = any(one.fracture in SNAPPED for one in own if one.coupon == base.coupon)
    return broken and not _is_blade(base)


def _coarse(base: HeatSeen, own) -> bool:
    """Whether a coupon, and no blade, came out coarse in a heat after this one."""
    return not _is_blade(base) and coarse_since(base, own) is not None


def _is_blade(base: HeatSeen) -> bool:
    return base.blade is not None or base.coupon.casefold().startswith(BLADE_NAME)


def _number(base: HeatSeen, own, *, same) -> int:
    """The number of the heat: its own where it is not hardened again, else the coupon's next."""
    return base.heat if same else 1 + max(h.heat for h in own if h.coupon == base.coupon)


def _to_c(decision) -> float | None:
    """The degrees that the step names for the new heat, °C; None where it names none."""
    told = (AS_C.search(reason) for reason in getattr(decision, "reasons", ()))
    return next((float(met[1]) for met in told if met), None)


def _rows_again(base: HeatSeen, way, here: str, seen: SteelSeen, *, same, to_c=None):
    """The rows of a heat or a temper that is made once more."""
    if not same:
        coupon = here.endswith("heat=1") and f" coupon={BLADE_NAME}" not in here
        broken = f" {to_fill_in('grain', 'fracture')}" * coupon  # a fresh coupon is broken too
        yield f"heats {here} {_quench(base, way, seen, to_c)}{broken}"
    if way == "grind_skin":
        yield f"heats {here} {hardness_to_fill_in(seen, 'hardness_below')}"
    if way in ("temper_hotter", "temper_cooler"):
        yield f"tempers {here} {_temper(base, way, seen)}"


def _quench(base: HeatSeen, way, seen: SteelSeen, to_c: float | None = None) -> str:
    """Medium, heat and soak of the new heat, by what the way changes."""
    by = {"hotter": ALIKE_C, "cooler": -ALIKE_C, "normalise": -ALIKE_C}.get(way, 0.0)
    planned_c = base.heat_c + by if to_c is None and base.heat_c is not None else to_c
    fine = heat_that_was_fine(base, seen) if way in COARSE and base.grain == "coarse" else None
    planned_c = planned_c if fine is None else fine.heat_c
    at = heat_to_fill_in(seen, planned_c, base, changed=bool(by))
    at += f" magnet={MAGNET_HOT}" if way == "hotter" else ""
    had = base.soak_min or SOAK_MIN
    soak = f"{max(LONG_SOAK_MIN, 2 * had) if way == 'longer_soak' else had:g}"
    own = [heat for heat in seen.heats if heat.piece == base.piece and not heat.carburised]
    cycles = " cycles=3" if way == "normalise" or _coarse(base, own) else ""
    medium = medium_again(base, way, own)
    found = f"{to_fill_in('section_mm')} {hardness_to_fill_in(seen, 'hardness_below')}"
    return f"medium={medium} {at} soak_min={soak}{cycles} {found}"


def _temper(base: HeatSeen, way, seen: SteelSeen) -> str:
    """The temper a step hotter or cooler than the last, or past it that which is to be taken."""
    own = [heat for heat in seen.heats if heat.piece == base.piece and not heat.carburised]
    trials = [one for one in seen.trials if one.piece == base.piece and not one.carburised]
    at = stepped_c(base, way, advised_c(own, trials, wanted_hrc(seen)))
    read = hardness_to_fill_in(seen, "hardness")
    return f"temperature_c='{at:.0f} °C' time_min=60 repeats=2 {read} for_use=yes"

"""What of the pack is told in a verdict: of which piece it is, its sections, its coupon?"""

from edgetest.steel.steel_seen import SteelSeen
from edgetest.study.steel.pack_records import Pack
from edgetest.study.steel.steel_pack import pieces_packed
from edgetest.study.words import listed
from edgetest.units import as_typed


def pack_of(pack: Pack, seen: SteelSeen) -> str:
    """Whose pack it is, "Pack of M1"; "" where there is one piece, or nobody knows which it was."""
    of = pieces_packed(pack, seen)
    if of is None or len(seen.pieces) < 2:
        return ""
    return f"Pack of {listed(sorted(of))}"


def pack_lines(result) -> list[str]:
    """Each section of the pack with its case, and the coupon that it was held against.

    Parameters
    ----------
    result : SteelResult
    """
    if not result.cases:
        return []
    whose = pack_of(result.rows.pack, result.seen)
    named = f"{whose}, " if whose else ""
    found = [f"{named}{name}: {case.summary()}" for name, case in result.cases]
    own = result.cases[0][1].known.calibration
    return [*found, *([own.summary()] if own is not None else [])]


def pack_in_words(pack: Pack, seen: SteelSeen) -> str:
    """The pack as typed, in one line: of which piece, the charcoal, its heats, its coupon."""
    heats = ", ".join(
        f"{as_typed(heat.hours, 'h')} at {as_typed(heat.temperature_c, 'c')}" for heat in pack.heats
    )
    whose = pack_of(pack, seen).removeprefix("Pack ")
    return "; ".join(filter(None, (whose, pack.compound, heats, _coupon(pack))))


def _coupon(pack: Pack) -> str:
    """The pack's own coupon and how deep its case was; "" for none."""
    one = pack.coupon
    if one is None:
        return ""
    sizes = (one.thickness_mm, one.depth_mm, one.depth_u_mm)
    thick, deep, u = (as_typed(size, "mm") for size in sizes)
    return f"a coupon of {thick}, its case {deep} deep (± {u}) to {one.carbon_pct:.2f} % carbon"

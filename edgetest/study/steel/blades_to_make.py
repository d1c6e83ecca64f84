"""How many blades do the pieces make, by what is next with each, and what would others cost?"""

from edgetest.steel.blade_tells import TRY_HOURS
from edgetest.steel.blades_left import (
    blades_elsewhere,
    blades_left,
    blades_lost,
    blades_stood,
)
from edgetest.steel.steel_decision import AGAINST, SteelLosses
from edgetest.steel.worth_testing import hours_told
from edgetest.study.steel.hours_counted import losses_of
from edgetest.study.words import listed

FEWER = "Want fewer? Write how many as blades_wanted into [verdict] of study.toml."


def blades_words(result) -> str:
    """Blades by the step of their pieces, and their hours against known steel; "" where untold.

    Parameters
    ----------
    result : SteelResult
    """
    many = {piece.id: blades_left(result.seen, piece) for piece in result.seen.pieces}
    aside = {one.id for one in result.seen.pieces if one.makes_blades == 0}
    told = [
        one for one in (result.asked, *result.others)
        if many.get(one.piece) is not None and one.piece not in aside
    ]  # fmt: skip
    if not result.begun or not told or len(many) < 2:
        return ""
    order = [*many]
    told.sort(key=lambda one: order.index(one.piece))
    losses = losses_of(result.wishes)
    wanted = result.wishes.blades_wanted
    have = {one.piece: many[one.piece] or 0.0 for one in told}
    made = _made(result.seen, told, have)
    to_make = {name: left_of - made[name] for name, left_of in have.items()}
    said = (
        f"Blades by what is next: {_by_step(told, to_make)}.", _stood(made), _lost(result.seen),
        _untold(many), _wanted(wanted, told, many, made, losses),
        _tried(told, to_make, losses, _still(wanted, told, many, made)),
        _known(wanted, sum(have.values()), losses),
    )  # fmt: skip
    fewer = [FEWER] if wanted is None and sum(have.values()) > 1 else []
    return " ".join((*filter(None, said), hours_told(losses), *fewer))


def _made(seen, told, have) -> dict[str, float]:
    """By piece: blades that are made and stood, none of a piece that is all to be used."""
    return {
        one.piece: 0.0
        if one.decision.action == "reuse"
        else min(blades_stood(seen, one.piece), have[one.piece])
        for one in told
    }


def _stood(made) -> str:
    """Blades that are made and stood, of pieces that are not all to be used; "" for none."""
    names = [f"{many:g} of {name}" for name, many in made.items() if many]
    return f"Made besides, and stood: {listed(names)}." if names else ""


def _untold(many) -> str:
    """Of which pieces nobody wrote how many blades they make; "" for none."""
    bare = [name for name, left in many.items() if left is None]
    return f"Of {listed(bare)} nobody wrote how many they make." if bare else ""


def _lost(seen) -> str:
    """Which blades are taken off, by piece; "" where none was lost, or made for another use."""
    names = [
        f"{blade} of {piece.id}"
        for piece in seen.pieces if piece.makes_blades is not None
        for blade in blades_lost(seen, piece.id)
    ]  # fmt: skip
    gone = [
        f"{blade} of {piece.id}"
        for piece in seen.pieces if piece.makes_blades is not None
        for blade in blades_elsewhere(seen, piece.id)
    ]  # fmt: skip
    off = [f"{listed(names)}, which broke or cracked"] if names else []
    off += [f"{listed(gone)}, made for another use"] if gone else []
    return f"Taken off what you wrote: {'; '.join(off)}." if off else ""


def _by_step(told, many) -> str:
    """The blades of each step, with the pieces that make them."""
    steps: dict[str, list[str]] = {}
    for one in told:
        steps.setdefault(_step(one.decision), []).append(one.piece)
    return "; ".join(
        f"{step}: {sum(many[name] for name in names):g} of {listed(names)}"
        for step, names in steps.items()
    )


def _step(decision) -> str:
    """The step without its way, its coupon, and the pieces for which it holds."""
    return decision.title.partition(" (")[0].partition(";")[0].partition(":")[0]


def _wanted(wanted, told, many, made, losses: SteelLosses) -> str:
    """How many of the blades wanted are made, hang on what is next, or are left to buy; or ""."""
    if wanted is None:
        return ""
    against = ("reuse", "safety_stop", *AGAINST)
    stopped = [one.piece for one in told if one.decision.action == "safety_stop"]
    held = f" Those of {listed(stopped)} are not counted on." if stopped else ""
    open_yet = [one.piece for one in told if one.decision.action not in against]
    hang = sum(many[name] - made[name] for name in open_yet)
    still = _still(wanted, told, many, made)
    left = max(still - hang, 0)
    untold = any(one is None for one in many.values())
    how = "to make of the others or to buy" if untold else "to buy"
    return (
        f"You want {wanted:g}: {wanted - still:g} made or to make now, "
        f"{min(hang, still):g} that hang on what is next, and {left:g} left {how}"
        f"{f', for {left * losses.known_steel_hours:.3g} h' if left else ''}."
        f"{held}"
    )


def _still(wanted, told, many, made):
    """How many blades are still wanted beside those made or to make now; None where nobody told."""
    if wanted is None:
        return None
    reused = sum(many[one.piece] for one in told if one.decision.action == "reuse")
    return max(wanted - reused - sum(made.values()), 0.0)


def _known(wanted, count, losses: SteelLosses) -> str:
    """What known steel would cost for the blades wanted, or for all where nobody wrote how many."""
    which = f"all {count:g}" if wanted is None else f"the {wanted:g} you want"
    bought = count if wanted is None else wanted
    return f"Known steel for {which} would cost {bought * losses.known_steel_hours:.3g} h."


def _tried(told, many, losses: SteelLosses, still) -> str:
    """What the trial blades that are next cost beside the blades wanted, by their chances."""
    next_ones = [
        one for one in told
        if one.decision.way == "trial_blade" and one.decision.chance_told is not None
        and many[one.piece]
    ]  # fmt: skip
    if not next_ones:
        return ""
    lost = sum((1 - one.decision.chance_told) * losses.blade_hours for one in next_ones)
    names = [one.piece for one in next_ones]
    which = "A trial blade of each of" if len(names) > 1 else "The trial blade of"
    if still == 0:
        return f"{which} {listed(names)} is beyond those you want: make it to know the steel alone."
    makes, whose = sum(many[name] for name in names), "their" if len(names) > 1 else "its"
    bought, of = makes, f"{whose} {makes:g} costs"
    if still is not None and still < makes:
        bought, of = still, f"{still:g} of {whose} {makes:g}, as many as you want still, costs"
    return (
        f"{which} {listed(names)} costs about {lost + len(names) * TRY_HOURS:.2g} h beside the "
        f"blades you want: {TRY_HOURS:g} h of cutting each, and what fails, by its chance. Known "
        f"steel for {of} {bought * losses.known_steel_hours:.3g} h."
    )

"""A trial blade broke, chipped, rolled or lived short: what does that ask for, whatever was read?

Amounts are common practice, no source.
"""

from dataclasses import replace

from edgetest.steel.advised_temper import advised_c
from edgetest.steel.alike_heats import coarse_like, quenched_alike
from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.contradictions import lives_short
from edgetest.steel.cooler_heat import as_hot, too_cool_alone
from edgetest.steel.cure_first import TradeStep, soft_step
from edgetest.steel.further_tempers import OVEN_C, left_last
from edgetest.steel.heats_once import merged
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import BLADE_NAME, HeatSeen, PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.surely import is_hard, true_readings
from edgetest.steel.tried_blades import (
    BRITTLE,
    EDGED,
    GIVEN_WAY,
    TriedBlade,
    made_elsewhere,
    spoilt_heats,
    temper_untried,
    tried_blades,
    use_tempers,
)

COOLEST_TEMPER_C = 175.0  # below it a temper takes next to nothing; common practice
TEMPER_STEP_C = 15.0  # from one temper to the next; common practice
MOST_FAILED = 2  # blades that broke, chipped or rolled before the steel is for lesser use
NEW_BLADE = "Harden a new blade for it; the one that broke is of no use any more"


def last_blade(at: Situation) -> TriedBlade | None:
    """The blade that was tried last; None where none was."""
    return next(iter(tried_of(at)[-1:]), None)


def tried_of(at: Situation) -> list[TriedBlade]:
    """Every blade of the piece as it is that was tried at an edge, in order."""
    return tried_blades(at.trials, at.heats)


def failed_last(at: Situation) -> TriedBlade | None:
    """The blade tried last, where its edge gave out; no blade before it makes up for that."""
    last = last_blade(at)
    return last if last is not None and last.gave_out else None


def heat_tried(at: Situation, blade: TriedBlade) -> HeatSeen | None:
    """The heat that a blade went through; of a blade that names none, the piece's best."""
    if blade.at is None:
        return at.best
    return next((heat for heat in at.heats if (heat.coupon, heat.heat) == blade.at), None)


def is_blade(at: Situation, heat: HeatSeen):
    """Whether a heat is a trial blade's, and no coupon's that may be snapped."""
    return (
        bool(edge_trials(at, heat))
        or heat.blade is not None
        or heat.coupon.casefold().startswith(BLADE_NAME)
    )


def begun_blade(at: Situation) -> HeatSeen | None:
    """The trial blade that is hardened and not tried yet; None where there is none, or it failed.

    A trial that names no heat may have been of it. A blade made for another use is none.
    """
    tried = {one.at for one in tried_of(at)}
    gone = made_elsewhere(one for one in at.seen.trials if one.piece == at.piece.id)
    made = [heat for heat in at.heats if is_blade(at, heat) and heat.coupon not in gone]
    newest = {heat.coupon: heat for heat in made}
    left = [heat for heat in newest.values() if (heat.coupon, heat.heat) not in tried]
    fine = (heat for heat in reversed(left) if not _spoilt(heat))
    return None if None in tried else next(fine, None)


def _spoilt(heat: HeatSeen):
    """Whether a blade came soft, coarse, cracked or broken out of its heat."""
    soft = heat.hardness and not any(map(is_hard, true_readings(heat.hardness)))
    return soft or heat.cracked or heat.grain == "coarse" or heat.fracture is not None


def edge_trials(at: Situation, heat: HeatSeen) -> list[TrialSeen]:
    """Every trial at an edge of a blade's heat, those that tell nothing yet too."""
    place = at.piece.id, (heat.coupon, heat.heat)
    return [t for t in at.seen.trials if (t.piece, t.heat) == place and t.trial in EDGED]


def coupon_to_break(at: Situation) -> HeatSeen | None:
    """The coupon that is snapped to see the grain, never a blade; None where a new one is made."""
    ranked = at.hard or at.read or at.heats
    free = [heat for heat in reversed(ranked) if not is_blade(at, heat)]
    last = last_blade(at)
    tried = heat_tried(at, last) if last is not None and (last.gave_out or last.short) else None
    if tried is not None:  # the coupon stands for the blade, and a break is seen once
        free = [one for one in free if quenched_alike(one, tried) and one.fracture is None]
    return next(iter(free), None)


def blade_meant(at: Situation, way):
    """Coupon and heat of the blade that a step goes on with; None where it asks for a new one."""
    last = last_blade(at)
    heat = heat_tried(at, last) if last is not None else None
    if way in ("temper_and_try", "sharpen_again") and (begun := begun_blade(at)) is not None:
        return begun.coupon, begun.heat
    if last is None or heat is None:
        return None
    if way == "temper_and_try":
        heat = next(reversed(_hardened_since(at, heat)), heat)
    elif last.gave_out == "broke" and way != "look_at_break":
        return None
    return heat.coupon, heat.heat


def broke(at: Situation, losses):
    """A blade broke: the break first, then grain or a softer temper; never a cooler one."""
    last = failed_last(at)
    if last is None or last.gave_out != "broke":
        return None
    heat = heat_tried(at, last)
    said = f"{_told(last)}: use no blade of this heat treatment."
    if (again := _tried_again(at, last, heat, said[:-1])) is not None:
        return again
    unseen = heat is None or (heat.grain is None and heat.fracture is None)
    if unseen and "look_at_break" not in losses.no_test:
        reason = f"{said} Its break tells whether the grain is coarse or the temper too hard."
        return TradeStep("go_on", "look_at_break", reason)
    if heat is not None and heat.grain == "coarse":
        reason = f"{said} Its break is coarse, from too hot a heat. {NEW_BLADE}."
        return TradeStep("heat_treat_again", "normalise", reason)
    return _softer(at, heat, f"{said} Its break is not coarse. {NEW_BLADE}.")


def gave_out(at: Situation, losses):
    """The last blade's edge chipped, rolled or lived short, read hard or not read at all."""
    last = last_blade(at)
    if last is None or not (last.gave_out or last.short):
        return None
    heat, said = heat_tried(at, last), f"{_told(last)}."
    if (again := _again_first(at, last, heat, said)) is not None:
        return again
    if heat in at.read and heat not in at.hard and at.hard:
        return _came_soft(at, heat, said)
    if last.gave_out in BRITTLE:
        return _chipped(at, heat, said, losses)
    if last.gave_out is None:
        unread = at.hard and heat not in at.read
        return _unread_and_short(at, said, losses) if unread else None
    if (hotter := _hotter_than_advised(at, last, heat)) is not None:
        return TradeStep("heat_treat_again", "temper_cooler", f"{said} {hotter}")
    return None if _edge_to_blame(at, last, heat) else _rolled(at, heat, said)


def _again_first(at, last, heat, said):
    """The trial of what was treated anew since, else the heat of a hotter one that came harder."""
    again = _tried_again(at, last, heat, said[:-1]) if last.gave_out else None
    return again or (None if last.gave_out in BRITTLE else as_hot(at, heat, said))


def _hotter_than_advised(at, last, heat):
    """That the blade was tempered hotter than what was read nearest to the hardness wanted."""
    take, had = advised_c(at.heats, at.trials, at.wanted), left_last(heat) if heat else None
    if last.gave_out not in GIVEN_WAY or take is None or had is None:
        return None
    if had.temperature_c is None or had.temperature_c <= take + OVEN_C:
        return None
    left, best = degrees_told(had.temperature_c), degrees_told(take)
    return (
        f"It was tempered at {left}, hotter than the {best} that was read nearest to the hardness "
        f"wanted: harden it again, and temper it at {best}."
    )


def _edge_to_blame(at, last, heat):
    """Whether it lived short in the range of hardness: the edge is blamed before its temper."""
    early = any(map(lives_short, last.trials))
    return early and heat in at.hard and at.temper_state(heat) == "within"


def _unread_and_short(at, said, losses):
    """A whole edge that lived short, and nobody noted how hard the blade came out."""
    said = f"{said} Nobody has noted how hard it came out as quenched."
    if len(tried_of(at)[-1].trials) == 1 and "sharpen_again" not in losses.no_test:
        reason = f"{said} Check angle, wire edge and hardness first."
        return TradeStep("go_on", "sharpen_again", reason)
    if len(tried_of(at)) >= MOST_FAILED:
        reason = f"{said} Its edge gave out early in each blade."
        return TradeStep("light_use", None, reason)
    reason = f"{said} Make one more, and file it before its temper."
    return TradeStep("reuse_trial", "trial_blade", reason)


def sisters_failed(at: Situation) -> list[str]:
    """Blades of the other pieces of its lot that gave out at the last, in words with their piece.

    One spoilt in its own fire says nothing of the lot, nor one too soft from too cool a heat.
    """
    return [f"{last.words()} ({name})" for name, last in failed_in_lot(at.seen, at.piece)]


def failed_in_lot(seen: SteelSeen, piece: PieceSeen) -> list[tuple[str, TriedBlade]]:
    """The other pieces of a lot whose blade tried last gave out, each with it, by their names."""
    found = []
    lot = (p.id for p in seen.pieces if piece.lot and p.lot == piece.lot and p.id != piece.id)
    for name in sorted(lot):
        trials = [t for t in seen.trials if t.piece == name and not t.carburised]
        heats = merged(h for h in seen.heats if h.piece == name and not h.carburised)
        last = next(iter(tried_blades(trials, heats)[-1:]), None)
        if last is not None and last.gave_out and not _of_its_heat_alone(last, heats, seen):
            found.append((name, last))
    return found


def _of_its_heat_alone(last, heats, seen):
    """Whether a blade that gave out tells of its own heat: spoilt, or too cool and too soft."""
    heat = next((one for one in heats if (one.coupon, one.heat) == last.at), None)
    too_cool = last.gave_out not in BRITTLE and too_cool_alone(heat, seen)
    return too_cool or last.at in spoilt_heats(heats)


def _told(last):
    return f"{last.words()} in the trial"


def _tried_again(at, last, heat, said):
    """The blade, another one or a coupon was treated anew since: now that is tried."""
    if heat is not None and temper_untried(heat, _failures(at, heat)):
        tempers = use_tempers(heat)
        if last.gave_out == "chipped" and _hotter(tempers[-1], tempers[-2]):
            reason = f"{said}; it was tempered hotter since: try it again."
            return TradeStep("go_on", "temper_and_try", reason)
    later = at.heats[at.heats.index(heat) + 1 :] if heat in at.heats else []
    anew = _hardened_since(at, heat)
    if anew:
        which = f"{anew[-1].coupon}, heat {anew[-1].heat}"
        need = "its trial" if anew[-1].tempers else "a new temper and a new trial"
        reason = f"{said}. What was seen of it belongs to that heat: {which}, needs {need}."
        return TradeStep("go_on", "temper_and_try", reason)
    if any(_answers(last, heat, one) for one in later):
        reason = f"{said}. A coupon had the mended heat treatment since: make one blade so."
        return TradeStep("reuse_trial", "trial_blade", reason)
    return None


def _hardened_since(at, heat):
    """Heats of blades written down after one, and not tried; a blade tried was tried before."""
    tried = {one.at for one in tried_of(at)}
    later = at.heats[at.heats.index(heat) + 1 :] if heat in at.heats else []
    return [one for one in later if is_blade(at, one) and (one.coupon, one.heat) not in tried]


def _failures(at, heat):
    """Failed runs of a heat."""
    return [one for one in tried_of(at) if heat_tried(at, one) == heat and one.gave_out]


def _hotter(one, other):
    if None in (one.temperature_c, other.temperature_c):
        return False
    return one.temperature_c > other.temperature_c


def _answers(last, heat, later):
    """Whether a later coupon's temper, or its fine grain, is the cure of what the blade did."""
    if later.grain == "coarse" or later.cracked:
        return False
    was, now = use_tempers(heat)[-1:], use_tempers(later)[-1:]
    if not was or not now:
        return False
    if last.gave_out in GIVEN_WAY:
        return _hotter(was[0], now[0])
    return _hotter(now[0], was[0]) or (heat.grain == "coarse" and later.grain is not None)


def _came_soft(at, heat, said):
    """The blade itself came out softer than its coupons: its own heat is to blame."""
    step = soft_step(at, heat)
    if step is not None:
        return replace(step, reason=f"{said} {step.reason}")
    reason = f"{said} It came out softer than its coupon: harden the next as the coupon was."
    return TradeStep("reuse_trial", "trial_blade", reason)


def _chipped(at, heat, said, losses):
    """Chipped: the grain where nobody has seen it on any coupon, then a hotter temper."""
    if heat is not None and coarse_like(at.heats, heat):
        reason = f"{said} Its grain, or a like coupon's, is coarse, from too hot a heat."
        return TradeStep("heat_treat_again", "normalise", reason)
    seen = any(one.grain is not None or one.fracture is not None for one in at.heats)
    if not seen and "break_coupon" not in losses.no_test:
        reason = f"{said} Nobody has seen the grain of this steel: break a coupon first."
        return TradeStep("go_on", "break_coupon", reason)
    return _softer(at, heat, said)


def _softer(at, heat, said):
    """A softer temper; a lesser use where blades gave out so again."""
    brittle = [one for one in tried_of(at) if one.gave_out in BRITTLE]
    if len(brittle) >= MOST_FAILED:
        reason = f"{said} It gave out so again: it is too brittle for this use."
        return TradeStep("light_use", None, reason)
    by = f"by a step of about {TEMPER_STEP_C:g} °C"
    take, had = advised_c(at.heats, at.trials, at.wanted), left_last(heat) if heat else None
    if take and had and had.temperature_c and take > had.temperature_c + TEMPER_STEP_C:
        by = f"up to the {degrees_told(take)} that was read nearest to the hardness wanted"
    reason = f"{said} Temper hotter, {by}, before you blame it."
    return TradeStep("heat_treat_again", "temper_hotter", reason)


def _rolled(at, heat, said):
    """Rolled: hardened again and tempered cooler, as far as tempers go."""
    soft = [one for one in tried_of(at) if one.gave_out in GIVEN_WAY]
    had = left_last(heat) if heat else None
    coolest = had is not None and (had.temperature_c or COOLEST_TEMPER_C + 1) <= COOLEST_TEMPER_C
    if coolest or len(soft) > MOST_FAILED:
        reason = f"{said} No cooler temper is left: it is too soft for this use."
        return TradeStep("light_use", None, reason)
    if heat in at.hard and at.temper_state(heat) == "below":
        said += " As quenched it was hard enough; the temper drew it below the hardness wanted."
    reason = f"{said} Harden it again, and temper cooler by a step of about {TEMPER_STEP_C:g} °C."
    if heat is not None and not heat.hardness:
        reason += " Nobody has noted how hard it came out: file it before the temper."
    return TradeStep("heat_treat_again", "temper_cooler", reason)

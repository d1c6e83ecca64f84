"""What does a steel that came out hard ask for: break, file, temper, toughness or a blade?"""

from dataclasses import replace

from edgetest.steel.alike_heats import had_more_heat
from edgetest.steel.alike_trials import as_many_failed, one_more_words
from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.broke_alike import as_it_stood
from edgetest.steel.contradictions import kept_hrc
from edgetest.steel.cure_first import GRIND_AND_FILE, TradeStep, chipped_again
from edgetest.steel.gave_out import (
    COOLEST_TEMPER_C,
    TEMPER_STEP_C,
    heat_tried,
    is_blade,
    last_blade,
    sisters_failed,
    tried_of,
)
from edgetest.steel.lot_apart import DIFFER, left_of_the_lot
from edgetest.steel.lot_temper import begin_there
from edgetest.steel.made_good import stood_since
from edgetest.steel.right_hardness import left_open
from edgetest.steel.second_blade import own_blade_words, second_blade_words, settles_from
from edgetest.steel.steel_words import CHOP_FIRST, SPARED_BY_NONE
from edgetest.steel.surely import all_harder, comparable, high_of, of_place
from edgetest.steel.told_chance import MIXED_LIKELY
from edgetest.steel.tough_tried import past_c, rod_answered
from edgetest.steel.tried_blades import BRITTLE, EDGED, life_unsure

ENOUGH_TRIALS = 2  # blades after which a further one tells no more; our choice
STRUCK = ("chopper", "hedging_tool")  # uses that ask for toughness before an edge
ENOUGH_SISTERS = 3  # of a lot that is not one steel, before one piece is used by itself; our choice
CASE_POSSIBLE = 0.1  # from here a minute of grinding comes before hours of tempers; our choice


def hardened_heat(at):
    """The heat that shows the steel hard enough for the use; None where none does."""
    best = at.best
    if best is None or best in at.hard:
        return best
    middling = best in at.read and best not in at.soft
    return best if middling and at.reaches(best) else None


def grain_unseen(at, losses):
    """Hard, and nobody has seen the break."""
    best = hardened_heat(at)
    broken = any(heat.grain is not None or heat.fracture is not None for heat in at.heats)
    if best is None or broken or at.trials:
        return None
    alike = ": snap a coupon quenched alike, never the blade" if is_blade(at, best) else ""
    return TradeStep("go_on", "break_coupon", f"It is hard; nobody has seen its grain{alike}.")


def case_unseen(at, losses):
    """Hard, and nobody has filed it below the skin, where a case is not out of question."""
    best = hardened_heat(at)
    below = [one for heat in at.hard for one in of_place(heat.hardness, "below")]
    if best is None or below or at.chance("surface_hardened") < CASE_POSSIBLE:
        return None
    return GRIND_AND_FILE if at.loose else None


def tempered_unread(at):
    """That a coupon was tempered, and nobody entered it as quenched; "" where none was."""
    named = [
        f"coupon {heat.coupon}, heat {heat.heat}"
        for heat in at.heats
        if heat.tempers and not heat.hardness and not is_blade(at, heat)
    ]
    if not named:
        return ""
    told = " and ".join(named)
    return (
        f"{told[:1].upper()}{told[1:]}: tempered, and nobody has entered it as quenched yet, so "
        "its temper does not show what the quench did."
    )


def untempered(at, losses):
    """Hard and fine: sort a mixed lot, then find the temper."""
    best = hardened_heat(at)
    if best is None or at.temper_state(best) != "none":
        return None
    if any(trial.result in ("same", "better") for trial in at.trials):
        return None
    if at.chance("mixed_lot") > MIXED_LIKELY:
        first = _harder_sister(at, best) or left_of_the_lot(at)
        if first is not None:
            return first
    more = tempered_unread(at) or begin_there(at.seen, at.piece.id)
    said = " ".join(filter(None, ("It hardens: find the temper for the use.", more)))
    return TradeStep("go_on", "temper_ladder", said)


def _harder_sister(at, best):
    """A sister came out harder from more heat: this one has it too, before it is another steel."""
    for heat in at.seen.heats:
        if heat.piece not in at.sisters or heat.carburised or heat.medium != best.medium:
            continue
        apart = all_harder(*comparable(heat.hardness, best.hardness))
        if apart and had_more_heat(best, heat):
            hotter = heat.heat_c > best.heat_c
            reason = (
                f"{heat.piece}, of the same lot, came out harder from a "
                f"{'hotter' if hotter else 'longer'} heat: give this one that heat too before you "
                "call them two steels."
            )
            way = "hotter" if hotter else "longer_soak"
            return TradeStep("heat_treat_again", way, reason)
    return None


def holds_at_heat(at, losses):
    """Hard after a hot temper, the oven not in doubt: rich in alloy, and tempered by that heat.

    Such a steel gains hardness up to a temper of about 500 to 550 °C and loses it beyond
    (secondary hardening): a cooler temper is never its cure.
    """
    best = hardened_heat(at)
    if best is None or not holds(at, best):
        return None
    hottest = max(hot_tempers(best), key=lambda temper: temper.temperature_c)
    after = degrees_told(hottest.temperature_c)
    said = f"It holds its hardness after {after}, as a steel rich in alloy does"
    state = at.temper_state(best)
    if state == "within" or _stood(at):
        step = edge_gave_out(at, losses) or ready(at, losses)
        return step and replace(step, reason=f"{said}: temper it there. {step.reason}")
    past = len(hot_tempers(best)) > 1 and not _hardest(at, best, hottest)
    if state == "above" or not past:
        reason = f"{said}: temper it there, a step hotter each time, never cooler."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    if state == "between":
        reason = f"{said}; one hot temper was too hard, the next too soft: find the one between."
        return TradeStep("go_on", "temper_ladder", reason)
    return TradeStep("light_use", None, f"{said}, but never came to the hardness wanted.")


def hot_tempers(heat):
    """Tempers of a heat that were hot enough to tell a steel rich in alloy, each with a reading."""
    return [one for one in heat.tempers if one.hardness and kept_hrc(one) is not None]


def holds(at, heat):
    """Whether a heat stayed hard through a hot temper, more than plain steel does."""
    return any(
        one.code == "hard_after_high_temper"
        and (one.heat.coupon, one.heat.heat) == (heat.coupon, heat.heat)
        for one in at.contradictions
    )


def _hardest(at, heat, temper):
    """Whether no cooler hot temper of a heat was harder than this one."""
    return all(
        max(map(high_of, one.hardness)) <= max(map(high_of, temper.hardness))
        for one in hot_tempers(heat)
    )


def temper_off(at, losses):
    """The temper missed the range: by its own reading, never a fault of the steel."""
    best = hardened_heat(at)
    state = None if best is None else at.temper_state(best)
    if state == "below" and _stood(at):
        return None  # what the blade did outranks what the file says of a coupon
    if state == "above":
        reason = "Too hard after a low temper is not the steel's fault: temper hotter."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    if state == "between":
        reason = "One step was too hard and the next too soft: temper between the two."
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    if state == "below" and at.reaches(best) and at.far_below(best):
        reason = "Drawn far too soft, and hard enough as quenched: harden it again, step by step."
        return TradeStep("go_on", "temper_ladder", reason)
    if state == "below" and at.reaches(best) and _hot_temper(best):
        reason = (
            "The temper drew it too far; as quenched it was hard enough: temper cooler, by a step "
            f"of about {TEMPER_STEP_C:g} °C."
        )
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    return None


def _hot_temper(heat):
    """Whether its last temper leaves room for a cooler one; one not told does."""
    last = [t.temperature_c for t in heat.tempers if t.hardness][-1:]
    return not last or last[0] is None or last[0] > COOLEST_TEMPER_C


def _edge_first(at, losses):
    """Hard, fine and short-lived: the edge is blamed before the steel, once."""
    edged = [t for t in at.trials if t.trial in EDGED]
    if len(edged) < ENOUGH_TRIALS and "sharpen_again" not in losses.no_test:
        reason = "Hard and fine, and it gave out early: check angle and wire edge first."
        return TradeStep("go_on", "sharpen_again", reason)
    return TradeStep("light_use", None, "Hard enough, and its edge still gave out early.")


def edge_gave_out(at, losses):
    """A trial's edge failed: the temper first, then a lesser use."""
    best = hardened_heat(at)
    if best is None or at.temper_state(best) == "below":
        return None
    own = _unanswered(at, best)
    edges = {trial.edge for trial in own}
    if chipped_again(at) and not _stood(at):
        reason = (
            "It chipped again: a hotter temper was no cure, and it is too brittle for this use."
        )
        return TradeStep("light_use", None, reason)
    if edges & BRITTLE:
        reason = "It chipped or broke: temper one step hotter before you blame the steel."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    worse = any(t.trial in EDGED and t.result == "worse" for t in own)
    if worse or at.uncured("hard_short_life"):
        return _edge_first(at, losses)
    if edges & {"rolled", "took_a_set"}:
        reason = "It rolled or took a set: harden again and temper cooler."
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    return None


def _unanswered(at, best):
    """Trials of a heat and of the last blade, without those after which a blade stood."""
    last, places = last_blade(at), {None, (best.coupon, best.heat)}
    if last is not None and heat_tried(at, last) is not None:
        places.add(last.at)
    own = [trial for trial in at.trials if trial.heat in places]
    if last is not None and last.stood:  # it tells more than a coupon over the rod
        own = [one for one in own if one.trial in EDGED or one.heat == last.at]
    own = [trial for trial in own if not stood_since(trial, at.trials, at.heats)]
    return [trial for trial in own if not rod_answered(at, trial)]


def _stood(at):
    """Blades that lived about as long as the known one; none where the last one gave out."""
    last = last_blade(at)
    if last is None or not last.stood:
        return []
    return [one for one in tried_of(at) if one.stood]


def reuse_step(at, losses):
    """A blade stood: a sister piece first where the lot was not sampled, then the rest."""
    sisters, sampled = at.sisters, at.sisters_quenched
    differ = at.chance("mixed_lot") > MIXED_LIKELY
    enough = ENOUGH_SISTERS if differ else 1
    short = len(sampled) < min(enough, len(sisters)) and "second_piece" not in losses.no_test
    if short and at.sister_at_hand:
        reason = "One piece says little of its lot: quench and file a sister piece first."
        return TradeStep("go_on", "second_piece", DIFFER if differ else reason)
    rest = _rest(at)
    if short:
        left = " and ".join(sorted(sisters - sampled))
        reason = (
            f"The trial blade stood: {rest} of this piece. {left} would tell more of the lot, and "
            f"may not be heated or ground yet. {own_blade_words(losses)}"
        )
        return TradeStep("reuse", None, reason)
    if failed := [] if differ else sisters_failed(at):
        reason = f"The trial blade stood: {rest} of this piece alone. {_of_the_lot(failed)}"
    elif sisters:
        reason = f"The trial blade stood: {rest} of this piece. {own_blade_words(losses)}"
    else:
        reason = f"The trial blade stood beside the known one: {rest}."
    return TradeStep("reuse", None, reason)


def _of_the_lot(failed):
    """What blades of the other pieces did, in words."""
    return f"Of the same lot: {'; '.join(failed)}."


def _rest(at):
    """That the rest may be made, and what the blade that stood leaves open before it."""
    last, first = last_blade(at), []
    if last is not None and heat_tried(at, last) is None:
        name = "it" if last.at is None else last.at[0]
        tempered = " and tempered" * all(one.temper_c is None for one in last.trials)
        first.append(f"write down how {name} was heated{tempered}, for nobody has yet")
    tough = [one for one in at.trials if last and one.heat == last.at and one.trial != "rope"]
    if at.seen.use in STRUCK and not tough:
        first.append(CHOP_FIRST)
    return "; ".join((*first, "then make the rest")) if first else "make the rest"


def _one_more(at, stood, losses):
    """Why another blade comes before the rest though one stood; "" where none is asked for."""
    if len(stood) == 1 and (at.belief.chance_fit or 0.0) < settles_from(losses):
        return second_blade_words(at, losses)
    if as_many_failed(at):
        return one_more_words(at)
    sisters = [] if at.chance("mixed_lot") > MIXED_LIKELY else sisters_failed(at)
    if len(stood) <= len(sisters):
        return (
            f"{_of_the_lot(sisters)} One lot is taken for one steel: make one more of this piece, "
            f"{as_it_stood(at.seen, at.piece.id, stood[-1].at and stood[-1].at[0])}."
        )
    return ""


def life_unsure_told(at):
    """That the life of the blade tried last is known too loosely to tell; "" where it is not."""
    last = last_blade(at)
    if last is None or last.gave_out or not life_unsure(last.trials[-1]):
        return ""
    name = "the trial blade" if last.at is None else last.at[0]
    return (
        f"The life of {name} beside the known blade may as well be half as all of it: run both "
        "again, or longer."
    )


def ready(at, losses):
    """In the range: toughness where it counts, then the trial blade."""
    best, stood = hardened_heat(at), _stood(at)
    if best is None or (at.temper_state(best) == "below" and not stood):
        return None
    if stood:
        more = _one_more(at, stood, losses)
        return TradeStep("reuse_trial", "trial_blade", more) if more else reuse_step(at, losses)
    if all(rod_answered(at, one) for one in at.trials) and at.seen.use in STRUCK:
        reason = f"The hardness is right; now its toughness, at this temper.{left_open(at, best)}"
        if (take := past_c(at, best)) is not None:
            reason = (
                f"The hardness is right after {degrees_told(take)}, and coupon {best.coupon} was "
                "tempered hotter since: quench a fresh coupon alike, temper it so, and try its "
                "toughness."
            )
        return TradeStep("go_on", "brass_rod", reason)
    reason = "Hard, fine and in the range: now make one blade and try it beside a known one."
    reason += left_open(at, best)
    if unsure := life_unsure_told(at):
        reason = f"{unsure} Or make one more blade, and try it beside a known one."
    if at.sisters and not at.sisters_quenched:
        reason += (
            " A sister's coupon comes after it: this blade is one of those you want, and the "
            "coupon is for nothing where it fails."
        )
    elif at.sisters:
        reason += f" If it stands it is one of those you want. {SPARED_BY_NONE}"
    return TradeStep("reuse_trial", "trial_blade", reason)

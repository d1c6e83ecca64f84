"""Was the step that a rule asks for done already, with nothing changed by it?"""

from edgetest.steel.advised_temper import tempers_read
from edgetest.steel.alike_trials import as_many_failed
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.further_tempers import OVEN_C, left_last
from edgetest.steel.gave_out import (
    COOLEST_TEMPER_C,
    failed_last,
    heat_tried,
    is_blade,
    last_blade,
)
from edgetest.steel.hardened_rules import ENOUGH_TRIALS
from edgetest.steel.rule_cures import apart_after_last
from edgetest.steel.situation import Situation
from edgetest.steel.surely import high_of, of_place, true_readings
from edgetest.steel.tried_blades import EDGED, GIVEN_WAY

LONG_SOAK_MIN = 10.0  # a soak from here is a long one; common practice
MORE_TRIALS = 2  # where a blade gave out that another of its kind outlived; our choice
LADDER_STEPS = 3  # readings that make a ladder of tempers; our choice


def done_before(at: Situation, step: TradeStep):
    """Whether what was seen shows that the step was taken already: the next rule speaks then."""
    check = DONE.get(step.way or step.action)
    return check is not None and check(at)


def _filed_below(at):
    """The last coupon was filed below the skin, or the piece itself where there is none.

    One that is to be read again after its temper was not.
    """
    apart = at.uncured("temper_read_apart")
    if at.uncured("drawn_too_far") or (apart and apart_after_last(apart.heats)):
        return False
    last = at.read[-1].hardness if at.read else at.piece.hardness
    return bool(of_place(last, "below"))


def _quenched_in_oil(at):
    """A reading stands from oil."""
    return any(heat.medium == "oil" for heat in at.read)


def _broken(at):
    """The last coupon was broken, or none would break."""
    return any(h.grain is not None or h.fracture is not None for h in at.heats[-1:])


def _slower(at):
    """The last heat came out hard and sound, or was cooled as slowly as can be."""
    last = at.heats[-1:]
    return any((h in at.hard and not h.cracked) or h.medium == "air" for h in last)


def _soaked(at):
    """A long soak: of the blade tried last or one since, for a coupon's tells nothing of an edge.

    Of any coupon where no blade was tried.
    """
    last, heats = last_blade(at), at.heats
    tried = None if last is None else heat_tried(at, last)
    if tried is not None:
        since = heats[heats.index(tried) :]
        heats = [one for one in since if one.coupon == tried.coupon or is_blade(at, one)]
    return any((heat.soak_min or 0.0) >= LONG_SOAK_MIN for heat in heats)


def _laddered(at):
    """Some coupon went through a ladder."""
    read = ([t for t in heat.tempers if t.hardness and not t.short] for heat in at.heats)
    return any(len(steps) >= LADDER_STEPS for steps in read)


def _tempered_cooler(at):
    """A cooler temper was read, and it was no harder for it, or as cool as tempers go.

    Where another one, cooler yet, was read harder, cooler ones help.
    """
    last = _last_tempers(at)
    if len(last) < 2:
        return False
    was, now = last[-2:]
    if any(_cooler_harder(one.temper, now) for one in tempers_read(at.heats)):
        return False
    harder = max(map(high_of, now.hardness)) > max(map(high_of, was.hardness))
    return now.temperature_c < was.temperature_c and (
        not harder or now.temperature_c <= COOLEST_TEMPER_C
    )


def _last_tempers(at):
    """The last temper of each heat, read and followed by no cooler one.

    After a blade whose edge gave way those from its own on: that it was tempered cooler than a
    coupon before it is no cure of what it did.
    """
    failed = failed_last(at)
    tried = heat_tried(at, failed) if failed and failed.gave_out in GIVEN_WAY else None
    since = at.heats[at.heats.index(tried) :] if tried in at.heats else at.heats
    untouched = [heat for heat in since if heat.tempers[-1:] == (left_last(heat),)]
    last = (heat.tempers[-1] for heat in untouched if heat.tempers)
    return [t for t in last if t.hardness and t.temperature_c is not None]


def _cooler_harder(one, other):
    """Whether a temper, cooler than another one, was read harder."""
    highest = max(map(high_of, true_readings(one.hardness)))
    cooler = one.temperature_c < other.temperature_c - OVEN_C
    return cooler and highest > max(map(high_of, true_readings(other.hardness)))


def _ground(at):
    """It was filed again below the skin, or another blade was tried."""
    filed = any(len(of_place(heat.hardness, "below")) > 1 for heat in at.heats)
    return filed or len([t for t in at.trials if t.trial in EDGED]) > 1


def _tried_enough(at):
    """Blades enough; more where the last gave out, or as many alike gave out as stood."""
    most = ENOUGH_TRIALS + MORE_TRIALS * bool(failed_last(at) or as_many_failed(at))
    return len([t for t in at.trials if t.trial in EDGED]) >= most


def _tried(at):
    return len([t for t in at.trials if t.trial in EDGED]) >= ENOUGH_TRIALS


DONE = {
    "grind_and_file": _filed_below,
    "coupon_oil": _quenched_in_oil,
    "break_coupon": _broken,
    "slower_quench": _slower,
    "longer_soak": _soaked,
    "temper_ladder": _laddered,
    "temper_cooler": _tempered_cooler,
    "grind_skin": _ground,
    "trial_blade": _tried_enough,
    "sharpen_again": _tried,
    "laboratory": lambda at: at.piece.carbon_pct is not None,
}

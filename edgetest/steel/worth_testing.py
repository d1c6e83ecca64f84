"""Does the testing that lies ahead cost less than the known steel that it may save?"""

from dataclasses import replace

from edgetest.estimate import chance as said_chance
from edgetest.steel.blade_tells import blade_instead
from edgetest.steel.blades_left import blades_left, blades_lost, blades_open
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.hardened_rules import STRUCK
from edgetest.steel.lot_temper import ONE_TEMPER, sister_stood, sisters_temper_c
from edgetest.steel.situation import Situation
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_words import TESTS_BY_CODE, WAYS
from edgetest.steel.told_chance import unmended, withheld
from edgetest.steel.tried_blades import EDGED

FREE_HOURS = 0.5  # below it a test is done in passing; the words of a test say so too
AGAIN_HOURS = 1.0  # one more heat of a coupon, as a coupon; common practice, no source
AGAIN = "heat_again"  # what these hours are called among those that are tried
UNFIT_TO_BLADE = 0.2  # share of the unfit that come as far as a trial blade; our choice
ALLOY_LIKELY = 0.5  # from here the steps are those for high alloy, and so is the chance
# A contradiction once settled is followed by more work: counted as so many times its own hours;
# chosen on even seeds of five simulated worlds, where four blades should cost no more for asking.
SETTLING_TIMES = 3.0
COUNTS = " This counts "
# How the hours ahead are counted, in words.
WHOLE = "till a temper fits, a trial blade counts whole, as often as it comes to one"
TEMPERED = "now that a temper fits, a trial blade counts where it fails, by its chance"
AS_A_SISTER = (
    "a sister's blade stood at its temper, so a trial blade counts where it fails, by its chance"
)
SETTLED = f"what does not fit together counts {SETTLING_TIMES:g} times what settling it takes"
COUPONS = ("coupon_oil", "coupon_water", "coupon_air")
FIRE = ("go_on", "heat_treat_again", "reuse_trial", "laboratory")


def known_instead(at: Situation, step: TradeStep, losses: SteelLosses):
    """The step itself, or known steel where no testing from here on can pay.

    At stake are the hours that known steel costs for every blade left in the piece and its lot, or
    for as many as are still wanted where those are fewer, times the chance that the piece serves.
    A sister whose blade stood is settled, and none of it is left. Against them stand the hours of
    this step and, where it goes well, of those that must follow; what is spent is spent. A free
    test may yet show anything: it is held against all of them. So is what settles a contradiction
    before any coupon was read, for till then nobody knows the steel; and so is all testing while
    what was seen does not fit together, for no chance is relied on then.
    """
    blades = _blades(at, losses)
    if blades is None or at.belief.chance_fit is None:
        return step
    step = blade_instead(at, step, _chance(at), blades, losses)
    if step.action not in FIRE:
        return step
    if not blades and _lost(at):
        return TradeStep("buy_known", None, f"{_makes(at)}.")
    return _weighed(at, step, blades, losses)


def _weighed(at, step, blades, losses):
    """The step itself, or known steel for so many blades where that costs less than the testing."""
    own = _own_hours(step, losses)
    unsettled = any(at.uncured(one.code) for one in at.contradictions if not one.remark)
    open_yet = own < FREE_HOURS or (unsettled and not at.read)
    chance = 1.0 if open_yet or unmended(at) else _chance(at)
    ahead = _settling(step, own) if unsettled else _hours_ahead(at, step, chance, losses)
    bought = blades * losses.known_steel_hours
    if chance * bought < ahead:
        how = SETTLED if unsettled else _how_counted(at)
        reason = f"{_makes(at, losses)}: {_dearer(at, blades, bought, ahead, chance)} ({how})."
        return TradeStep("buy_known", None, f"{reason} {hours_told(losses)}{_all_the_same(step)}")
    dear = not unsettled and chance * bought < _hours_of_tests(at, step, chance, losses)
    return replace(step, reason=_not_bought(at, step, bought, ahead, chance)) if dear else step


def _how_counted(at):
    """How a trial blade is counted among the hours ahead."""
    if _tempered_right(at):
        return TEMPERED
    return AS_A_SISTER if _as_a_sister(at) else WHOLE


def why_bought(reason: str) -> str:
    """The reason to buy known steel, without which hours it counts and what else could be done."""
    return reason.partition(COUNTS)[0]


def hours_told(losses: SteelLosses) -> str:
    """Which hours are counted, and where the maker's own go that were not written yet."""
    hours = {
        "known_steel_hours": "one blade's known steel (its price)",
        "blade_hours": "one trial blade",
    }
    said = " and ".join(
        f"{'your ' * (key in losses.stated)}{getattr(losses, key):g} h for {of}"
        for key, of in hours.items()
    )
    left = " and ".join(key for key in hours if key not in losses.stated)
    return f"{COUNTS.lstrip()}{said}" + (
        f": write yours as {left} into [verdict] of study.toml." if left else "."
    )


def _not_bought(at, step, bought, ahead, chance):
    """Why known steel, which the tests alone would not be worth, is not bought any more."""
    of = "of tests and of a blade that may be lost"
    if step.way == "trial_blade":
        of = "of a blade that may be lost, and its cutting comes besides"
    now = "a temper fits" if _tempered_right(at) else "a sister's blade showed its temper"
    return (
        f"{step.reason} Known steel costs {bought:.3g} h{_times(at, bought, chance)}: now that "
        f"{now}, the next blade is one of those wanted, so {ahead:.3g} h stand against it, {of}."
    )


def _dearer(at, blades, bought, ahead, chance):
    """That the testing costs more than known steel for the blades at stake, by the chance."""
    which = "it" if blades == 1 else "them"
    return (
        f"known steel for {which} costs {bought:.3g} h{_times(at, bought, chance)}; the testing "
        f"still ahead costs more, {ahead:.3g} h"
    )


def _times(at, bought, chance):
    """What is weighed of the hours of known steel, where the chance is counted."""
    if chance >= 1:
        return ""
    if withheld(at, "buy_known"):  # no sentence says the chance then
        return ", weighed by how likely the piece serves"
    return (
        f", of which {chance * bought:.3g} h are at stake by the chance of {said_chance(chance)} "
        "that the piece serves"
    )


def _makes(at, losses=None):
    """How many blades are at stake, and of what: the piece alone, or all pieces of its lot.

    With `losses` it is told how many of them are wanted, where those are fewer.
    """
    makes = sum(piece.makes_blades or 0 for piece in _of_lot(at))
    left = _left(at, losses.reused if losses else None)
    alone = makes == (at.piece.makes_blades or 0)
    said = f"It makes {makes:g}" if alone else f"Lot {at.piece.lot} makes {makes:g}"
    more = []
    if left < makes:
        more.append(f"{left:g} {'is' if left == 1 else 'are'} left" if left else "none is left")
    if losses is not None and _blades(at, losses) < left:
        wanted = _still_wanted(at, losses)
        more.append(f"you want {wanted:g}{' more' * (wanted < losses.blades_wanted)}")
    return ", of which ".join((said, " and ".join(more))) if more else said


def _all_the_same(step):
    """The step that it would be for one who goes on nonetheless."""
    test = TESTS_BY_CODE.get(step.way or "")
    said = test.title if test else WAYS.get(step.way or "")
    return f" If you go on all the same: {said}." if said else ""


def _chance(at):
    """Chance that the piece serves; of what is rich in alloy, with a heat that a forge lacks."""
    return at.high_alloy if at.high_alloy > ALLOY_LIKELY else at.belief.chance_fit


def _blades(at, losses):
    """Blades at stake: no more than are wanted; None where nobody told what the pieces make."""
    left, wanted = _left(at, losses.reused), _still_wanted(at, losses)
    return left if left is None or wanted is None else min(left, wanted)


def _still_wanted(at, losses):
    """Blades wanted beside what other pieces settled; all where those are as many."""
    wanted = losses.blades_wanted
    if wanted is None:
        return None
    others = (p for p in at.seen.pieces if p.id != at.piece.id)
    settled = sum(
        (blades_left(at.seen, p) or 0.0) - blades_open(at.seen, p, losses.reused) for p in others
    )
    return wanted - settled if settled < wanted else wanted


def _left(at, reused):
    """Blades left in the piece, and in question of its sisters; None where nobody told."""
    told = [p for p in _of_lot(at) if p.makes_blades is not None]
    if not told:
        return None
    sisters = sum(blades_open(at.seen, p, reused) for p in told if p.id != at.piece.id)
    return sisters + (blades_left(at.seen, at.piece) or 0.0)


def _lost(at):
    """Whether a blade of the piece or its sisters was lost."""
    return any(blades_lost(at.seen, piece.id) for piece in _of_lot(at) if piece.makes_blades)


def _of_lot(at):
    """The piece and its sisters."""
    return [p for p in at.seen.pieces if p.id == at.piece.id or (p.lot and p.lot == at.piece.lot)]


def _own_hours(step, losses):
    """Hours of one step."""
    if step.way == "trial_blade":
        return losses.blade_hours
    if step.action == "heat_treat_again":
        return losses.hours_of(AGAIN, AGAIN_HOURS)
    return _test_hours(step.way or step.action, losses)


def _test_hours(code, losses):
    return losses.hours_of(code, TESTS_BY_CODE[code].hours)


def _settling(step, own):
    """Hours of settling a contradiction and of what comes behind it; a trial blade settles all."""
    return own if step.way == "trial_blade" else SETTLING_TIMES * own


def _tempered_right(at):
    """Whether a hard heat has come into the range after its temper."""
    return any(at.temper_state(heat) == "within" for heat in at.hard)


def _as_a_sister(at):
    """Whether the piece is worked as a sister was whose blade stood: one temper, then a blade."""
    return sisters_temper_c(at) is not None or sister_stood(at)


def _hours_ahead(at, step, chance, losses):
    """Hours of the step, of what follows where it goes well, and of a blade lost in vain."""
    own, lost = _own_hours(step, losses), (1 - chance) * losses.blade_hours
    if sister_stood(at):
        return _till_its_temper(step, own, losses) + (1 - _chance(at)) * losses.blade_hours
    as_a_sister = sisters_temper_c(at) is not None
    if _tempered_right(at) or as_a_sister:  # the next blade is wanted, lost only where it fails
        own = 0.0 if step.way == "trial_blade" else own
        own *= ONE_TEMPER if as_a_sister and step.way == "temper_ladder" else 1.0
        return own + lost
    return _hours_of_tests(at, step, chance, losses)


def _till_its_temper(step, own, losses):
    """Hours till the temper of a piece that nobody quenched: a look, its coupon, one temper."""
    if step.way == "trial_blade":
        return 0.0
    coupon = 0.0 if step.way in COUPONS else _test_hours("coupon_oil", losses)
    return own + coupon + ONE_TEMPER * _test_hours("temper_ladder", losses)


def _hours_of_tests(at, step, chance, losses):
    """The same where a trial blade is a test as all others, and no blade of those wanted."""
    own, after = _own_hours(step, losses), 0.0
    tempered = step.way in ("temper_ladder", "brass_rod", "bend")
    if not (tempered or any(not one.short for heat in at.heats for one in heat.tempers)):
        after += _test_hours("temper_ladder", losses)
    if at.seen.use in STRUCK and step.way not in ("brass_rod", "bend") and not at.trials:
        after += _test_hours("brass_rod", losses)
    if not any(trial.trial in EDGED for trial in at.trials):
        after += losses.blade_hours
    return own + chance * after + (1 - chance) * UNFIT_TO_BLADE * losses.blade_hours

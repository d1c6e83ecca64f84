"""Is a fresh coupon quenched already, and waits for the temper that the step asks for?"""

from dataclasses import replace

from edgetest.steel.advised_temper import advised_c, models, nearest_reads, to_take
from edgetest.steel.alike_heats import coarse_since
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.further_tempers import left_last
from edgetest.steel.gave_out import TEMPER_STEP_C, begun_blade, is_blade, tried_of
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.steel_words import NextTest, TempersFirst
from edgetest.steel.tough_tried import ON_A_COUPON, past_c

USUAL_TEMPER_C = 205.0  # where none was written; common practice


def stepped_c(heat: HeatSeen, way: str, take: float | None) -> float:
    """The temper a step hotter or cooler than the last, °C, or past it that which is to be taken.

    Parameters
    ----------
    heat : HeatSeen
        The one that was tempered too cool or too hot.
    way : str
        "temper_hotter" or "temper_cooler".
    take : float or None
        What is advised; see `edgetest.steel.advised_temper.advised_c`.
    """
    last = left_last(heat)
    had = USUAL_TEMPER_C if last is None else last.temperature_c or USUAL_TEMPER_C
    hotter = way == "temper_hotter"
    at = had + (TEMPER_STEP_C if hotter else -TEMPER_STEP_C)
    if take is None:
        return at
    return max(at, take) if hotter else min(at, take)


def waiting_coupon(at: Situation) -> HeatSeen | None:
    """The coupon hardened last, whole and fine, that no temper followed and no trial was made of.

    None where a blade was tried or is begun, or where no coupon before it told which temper to
    take: then it has a ladder of its own.
    """
    read = to_take(nearest_reads(models(at.heats, at.trials), at.wanted, at.trials))
    told = at.best if read is None and at.best and at.best.tempers else read and read.heat
    if not told or tried_of(at) or begun_blade(at) is not None:
        return None
    later = at.heats[at.heats.index(told) + 1 :]
    last = {heat.coupon: heat for heat in at.heats}  # of each coupon: what was before it is over
    return next(
        (one for one in reversed(later) if last[one.coupon] == one and _waits(at, one)), None
    )


def _waits(at, heat):
    """Whether a heat came out hard enough for a temper, and nothing was done with it since."""
    untouched = all(one.short for one in heat.tempers) and not is_blade(at, heat)
    tried = any(one.heat in (None, (heat.coupon, heat.heat)) for one in at.trials)
    enough = heat in at.hard or (heat in at.read and heat not in at.soft and at.reaches(heat))
    return untouched and not tried and enough and not heat.cracked and heat.grain != "coarse"


def tempered_first(at: Situation, step: TradeStep, no_test: tuple[str, ...]) -> TradeStep:
    """The step itself; the temper of the coupon that waits, and its trial, where it asks for one.

    A line that asks for a fresh coupon may be followed a quench at a time.
    """
    waits = waiting_coupon(at)
    way = next((code for code in ON_A_COUPON if code not in no_test), None)
    take, best = advised_c(at.heats, at.trials, at.wanted), at.best
    if waits is None or way is None or best is None or not _asked(at, step, waits):
        return step
    cooler = step.way == "temper_cooler"
    to_c = stepped_c(best, "temper_cooler", take) if cooler else take
    if to_c is None:
        return step
    said = f"{step.reason} But coupon" if cooler else "Coupon"
    reason = (
        f"{said} {waits.coupon}, heat {waits.heat}, is hardened and has no temper yet: temper it "
        f"at {to_c:.0f} °C, read it, then try its toughness."
    )
    of = (waits.coupon, waits.heat)
    return replace(
        step, action="go_on", way=way, reason=reason, tempers_first=TempersFirst(of, to_c)
    )


def _asked(at, step, waits):
    """Whether a step asks for a coupon that is tempered, and this one may be it."""
    if step.way in ON_A_COUPON:
        return at.best == waits or past_c(at, at.best) is not None
    return step.way == "temper_cooler" or (step.way == "temper_ladder" and at.best == waits)


def fine_first(at: Situation, step: TradeStep) -> TradeStep:
    """The step itself; that a coupon which is to be hardened again came out coarse since."""
    if step.way != "temper_cooler" or at.best is None or is_blade(at, at.best):
        return step
    coarse = coarse_since(at.best, at.heats)
    if coarse is None:
        return step
    said = (
        f" Coupon {coarse.coupon} came out coarse in heat {coarse.heat}: take a fresh one for it, "
        "normalised and cycled three times first."
    )
    return replace(step, reason=step.reason + said)


def with_its_temper(test: NextTest, temper_c: float) -> NextTest:
    """A test of a coupon with the temper that comes first, in its title and its work."""
    title = f"a temper at {temper_c:.0f} °C, then {test.title.replace('tempered coupon', 'coupon')}"
    why = f"{test.why} Its temper takes the oven's time besides."
    return replace(test, title=title, why=why)

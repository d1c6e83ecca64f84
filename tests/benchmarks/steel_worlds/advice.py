"""What does a lot cost under advice followed to its end? Each test is made, and its hours count."""

from dataclasses import dataclass

from tests.benchmarks.steel_worlds.bench_of_steel import USUAL_HEAT_C, USUAL_TEMPER_C
from tests.benchmarks.steel_worlds.blades_of_steel import LEAST_LIFE, USES

# Hours where the advice tells none; common practice, no source.
HOURS = {
    "magnet": 0.05, "sparks": 0.1, "file_as_found": 0.15, "look_at_coating": 0.05,
    "coupon_oil": 0.75, "coupon_water": 0.75, "coupon_air": 0.75, "grind_and_file": 0.25,
    "break_coupon": 0.2,
    "temper_ladder": 2.5, "brass_rod": 0.2, "bend": 0.2, "second_piece": 1.0, "laboratory": 2.0,
    "sort_lot": 0.2,
    "sharpen_again": 1.0, "look_at_break": 0.1, "temper_and_try": 2.0,
    "again": 1.0, "strip": 0.5,
}  # fmt: skip
BLADE_HOURS = 8.0  # as the verdict's own defaults
KNOWN_STEEL_HOURS = 2.0
MOST_STEPS = 6
SLOWER_TO_FASTER = ("air", "oil", "warm_water", "water", "brine")
HOTTER_C = 40.0
LADDER_C = (180.0, 220.0, 260.0, 300.0)
# The rule of thumb: a coupon this hard is worth a trial blade; below so many blades buy.
HARD = {"chopper": 55.0, "hedging_tool": 52.0, "knife": 58.0, "chisel": 58.0}
FEWEST_WORTH_TESTING = 10
BLADE_ACTIONS = {"reuse"}
BUY_ACTIONS = {"leave", "buy_known", "carburise", "light_use"}
STRIPPED = {"painted", "galvanised", "plated", "hard_chrome", "unknown"}


@dataclass
class Followed:
    """How one lot went: hours in all, of tests alone, the last action, the way there."""

    hours: float
    test_hours: float
    end: str
    steps: tuple[str, ...]
    made: bool  # whether the lot was made into blades


def _heat_of(bench, piece_id):
    """The last heat of the piece that was no trial blade, or None."""
    heats = [m for m in bench.made if m.piece_id == piece_id]
    return heats[-1] if heats else None


def _tempered(bench):
    """Place of a coupon of the asked piece that is tempered; the last one is tempered else."""
    at = bench.best_heat(bench.asked)
    if at is None:
        at = bench.quench(bench.asked, "oil")
    if not bench.made[at].tempers:
        bench.temper(at, USUAL_TEMPER_C[bench.use], 120.0, for_use=True)
    return at


def do_test(bench, code):
    """Make one named test on the piece asked about."""
    asked = bench.asked
    last = _heat_of(bench, asked)
    if code in ("magnet", "sparks"):
        bench.look(asked, code)
    elif code == "look_at_coating":
        bench.look(asked, "coating")
    elif code == "file_as_found":
        bench.file_as_found(asked)
    elif code.startswith("coupon_"):
        bench.quench(asked, code.removeprefix("coupon_"))
    elif code == "grind_and_file":
        bench.grinds += 1
        if last:
            bench.file_coupon(bench.made.index(last), ground=True)
        else:
            bench.file_as_found(asked, ground=True)
    elif code == "break_coupon":
        at = bench.made.index(last) if last else bench.quench(asked, "oil")
        bench.break_coupon(at)
    elif code == "temper_ladder":
        at = bench.best_heat(asked)
        at = bench.quench(asked, "oil") if at is None else at
        for t_c in LADDER_C:
            bench.temper(at, t_c)
    elif code in ("brass_rod", "bend"):
        bench.trial(_tempered(bench), code)
    elif code == "second_piece":
        sisters = [one for one in bench.lot if one not in bench.pieces]
        if sisters:
            bench.second_piece(sisters[0])
    elif code == "sort_lot":  # what still differs has a lot of its own from there on
        bench.look(asked, "sparks")
        bench.write(asked, lot=asked)
    elif code == "laboratory":
        bench.laboratory(asked)
    elif code == "sharpen_again":
        bench.trial(_tempered(bench), "rope")
    elif code == "look_at_break":
        bench.break_coupon(bench.made.index(last) if last else bench.quench(asked, "oil"))
    elif code == "temper_and_try":
        at = bench.made.index(last) if last else _tempered(bench)
        bench.trial(at, "chop" if USES[bench.use].struck else "rope")
    elif code == "trial_blade":
        bench.trial_blade(asked)
    else:
        raise ValueError(f"no test is called {code!r}")


def do_again(bench, way):
    """Heat-treat once more in a named way."""
    asked = bench.asked
    last = _heat_of(bench, asked)
    medium, aim = (last.seen.medium, last.aim_c) if last else ("oil", USUAL_HEAT_C)
    if way in ("hotter", "cooler"):
        bench.quench(asked, medium, aim + (HOTTER_C if way == "hotter" else -HOTTER_C))
    elif way == "normalise":
        bench.quench(asked, medium, USUAL_HEAT_C, cycles=3)
    elif way == "longer_soak":
        bench.quench(asked, medium, aim, soak=15.0)
    elif way in ("faster_quench", "slower_quench"):
        at = SLOWER_TO_FASTER.index(medium) + (1 if way == "faster_quench" else -1)
        used = {made.seen.medium for made in bench.made if made.piece_id == asked}
        oil_first = way == "slower_quench" and medium in SLOWER_TO_FASTER[2:] and "oil" not in used
        slower = "oil" if oil_first else SLOWER_TO_FASTER[max(0, min(4, at))]
        bench.quench(asked, slower, aim)
    elif way in ("temper_hotter", "temper_cooler"):
        tempered = last.seen.tempers[-1].temperature_c if last and last.seen.tempers else 220.0
        if way == "temper_cooler" or last is None:
            bench.quench(asked, medium, aim)
            bench.temper(len(bench.made) - 1, tempered - HOTTER_C, for_use=True)
        else:
            bench.temper(bench.made.index(last), tempered + HOTTER_C, for_use=True)
    elif way == "grind_skin" and last:
        bench.grinds += 1
        bench.file_coupon(bench.made.index(last), ground=True)
    else:
        bench.quench(asked, medium, aim)


def _do_step(bench, decision, blade_hours):
    """Do what the decision says; hours, and whether it can go on."""
    told = decision.next_test.hours if decision.next_test is not None else None
    if decision.action == "reuse_trial" or decision.way == "trial_blade":
        bench.trial_blade(bench.asked)
        return blade_hours, True
    if decision.action == "heat_treat_again":
        do_again(bench, decision.way)
        return (HOURS["again"] if told is None else told), True
    if decision.action == "laboratory":
        bench.laboratory(bench.asked)
        return (HOURS["laboratory"] if told is None else told), True
    if decision.action == "safety_stop":
        if bench.pieces[bench.asked].coating not in STRIPPED:
            return 0.0, False
        bench.write(bench.asked, coating="removed")
        return HOURS["strip"], True
    code = decision.way or (decision.next_test.code if decision.next_test else "sparks")
    do_test(bench, code)
    return (HOURS[code] if told is None else told), True


@dataclass(frozen=True)
class Said:
    """What a rule says, in the form of a decision."""

    action: str
    way: str | None = None
    next_test: None = None


def rule_of_thumb(seen):
    """A smith's plain rule: a coupon in oil, then in water; hard enough, then one trial blade.

    It weighs no chance. What it saves shows what is to be had in a world.
    """
    first = seen.pieces[0]
    if (first.makes_blades or 0) < FEWEST_WORTH_TESTING:
        return None, Said("buy_known")
    heats = [h for h in seen.heats if h.piece == first.id]
    hard = [h.medium for h in heats if any((r.low_hrc or 0) >= HARD[seen.use] for r in h.hardness)]
    trials = [t for t in seen.trials if t.piece == first.id]
    if trials:
        worse = any((t.life_ratio or 1) < LEAST_LIFE for t in trials)
        worse |= any(t.life_ratio is None and t.result == "worse" for t in trials)
        broke = any(t.edge in ("chipped", "broke", "rolled") for t in trials)
        return None, Said("leave" if worse or broke else "reuse")
    if hard:
        return None, Said("reuse_trial", "trial_blade")
    for medium in ("oil", "water"):
        if not any(h.medium == medium for h in heats):
            return None, Said("go_on", f"coupon_{medium}")
    return None, Said("leave")


def lot_costs(fits, size, known_hours=KNOWN_STEEL_HOURS, blade_hours=BLADE_HOURS):
    """Hours of leaving all and of using all of a lot: an unfit blade is lost and steel bought."""
    unfit = size - sum(fits[:size])
    return known_hours * size, unfit * (blade_hours + known_hours)


def _stood(trial):
    """Whether a trial blade lived about as long as the known one, and neither chipped nor broke."""
    if trial.trial not in ("rope", "chop") or trial.edge in ("chipped", "broke"):
        return False
    if trial.life_ratio is not None:
        return trial.life_ratio >= LEAST_LIFE
    return trial.result in ("same", "better")


def _kept(trials, fit, size, *, blade_hours, known_hours):
    """Hours that come back: a trial blade that stood, and is fit, is one of those wanted.

    Its own hours are no loss then, as those of no good blade are; where the lot is left
    (`known_hours` above zero), known steel is bought for one blade less.
    """
    return fit * min(sum(map(_stood, trials)), size) * (blade_hours + known_hours)


def follow(case, size, judge, *, known_hours=KNOWN_STEEL_HOURS, blade_hours=BLADE_HOURS):
    """Follow the advice for a lot of `size` blades; `judge(seen)` gives (chance_fit, decision).

    Ends with "reuse" (every blade made, an unfit one lost and its steel bought) or with known
    steel for all; after `MOST_STEPS` tests without a word known steel is bought as well. A trial
    blade that stood is one of the lot.
    """
    bench = case.bench
    bench.makes = size
    bench.write(bench.asked, makes_blades=float(size))
    tried_before = len(bench.trials)
    spent, steps, end = 0.0, [], "no_end"
    bench.look(bench.asked, "coating")  # a minute; it counts neither as a test nor as hours
    for _ in range(MOST_STEPS + 1):
        _, decision = judge(bench.seen())
        end = decision.action
        if end in BLADE_ACTIONS | BUY_ACTIONS or len(steps) == MOST_STEPS:
            break
        hours, on = _do_step(bench, decision, blade_hours)
        steps.append(decision.way or decision.action)
        spent += hours
        if not on:
            break
    leave, use = lot_costs(case.lot_fit, size, known_hours, blade_hours)
    made = end in BLADE_ACTIONS
    spent -= _kept(
        bench.trials[tried_before:], case.lot_fit[0], size,
        blade_hours=blade_hours, known_hours=0.0 if made else known_hours,
    )  # fmt: skip
    return Followed(spent + (use if made else leave), spent, end, tuple(steps), made)

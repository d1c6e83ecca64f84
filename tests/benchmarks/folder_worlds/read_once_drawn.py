"""What is drawn of a wear study whose edge width is read once at each stage?

Life scale   tau_treatment x tau_blade. Treatments differ in life by a factor 1 to 2 (one study in
             five: 1); either way round. tau_blade log-normal, sd 5 to 20 % (one sd a study, both
             treatments). In four of five two_stage studies treatment 'B' blunts more (x 1.05 to
             1.3) in its first part only (the share a), so that the ratio of lives depends on the
             limit (made less where the ratio of lives would leave 0.5 to 2).
w0           0.6 to 1.6 µm, blades differ by 15 %.
Roll         (block) one or two, each shared by both treatments; rolls wear log-normal sd 3 to 15 %
             apart. With two: either every blade is cut on both (sharpened anew), or half of each
             treatment on each.
Day          stages are done on days (1 to 3 stages a day, all blades of the roll). Wear of a day's
             cuts is multiplied by a jump common to all blades, log-normal sd 3 to 20 %; besides
             each blade's own stage jump, log-normal sd 3 to 12 %. Between the stages the wear runs
             evenly. A blade that is sharpened anew draws its blade-and-sharpening scatter, sd 0 to
             6 %, again.
Reading      log-normal error sd 4 to 12 %, a shift common to a day (lamp, focus habit; sd 0 to
             4 %) and a scale error common to the study (sd 2 %; in half of the studies declared as
             typed_scale_u = 0.02); then rounded to 0.5 µm. What rounds to 0 is typed '<0.5'. In a
             third of the studies 3 to 8 % of readings slip in focus (x 1.2 to 1.8, seldom x 0.7 to
             0.85), half of these with a note.
Stages       5 to 8, the fresh edge (0 cuts) among them, doubling or evenly spaced. 2 to 4 blades a
             treatment.
"""

from types import SimpleNamespace

import numpy as np

from tests.benchmarks.folder_worlds.edge_widening import drawn_law, risen, wear_at

TREATMENTS = ("A", "B")


def lognormal(rng, sd, size=None):
    """Log-normal scatter whose median is one."""
    return np.exp(rng.normal(0, sd, size))


def drawn(rng):
    """All that is drawn of the study before its blades are run."""
    law = drawn_law(rng)
    made = {"law": law} | _stages(rng)
    made |= _treatments(rng, law, made["stages"][-1])
    made |= _scatter(rng, made["roll_count"])
    made["blades"] = {
        f"{treatment}{k + 1}": {
            "treatment": treatment,
            "tau": float(made["tau"][treatment] * lognormal(rng, made["sd_blade"])),
            "w0_um": float(made["w0_mid_um"] * lognormal(rng, 0.15)),
        }
        for treatment in TREATMENTS
        for k in range(made["blades_a_treatment"])
    }
    made["rolls_of"] = _rolls_of(rng, made)
    made |= _days(rng, made)
    return SimpleNamespace(**made)


def _stages(rng):
    """Stages, blades and rolls."""
    count = int(rng.integers(5, 9))
    doubling = bool(rng.random() < 0.5)
    if doubling:
        stages = np.r_[0, float(rng.choice([5, 10, 20, 25])) * 2.0 ** np.arange(count - 1)]
    else:
        stages = float(rng.choice([20, 25, 50, 100, 150])) * np.arange(count)
    blades = int(rng.integers(2, 5))
    rolls = int(rng.integers(1, 3))
    both = bool(rolls == 2 and rng.random() < 0.5)
    return {
        "stages": stages, "doubling": doubling, "blades_a_treatment": blades, "roll_count": rolls,
        "on_both": both,
    }  # fmt: skip


def _treatments(rng, law, last):
    """Cuts that are u = 1 by treatment, how much more B blunts at first, how blades scatter."""
    ratio = 1.0 if rng.random() < 0.2 else float(2 ** rng.uniform(0, 1))
    if rng.random() < 0.5:
        ratio = 1 / ratio
    blunts = law["kind"] == "two_stage" and rng.random() < 0.8
    first_of_b = float(rng.uniform(1.05, 1.3)) if blunts else 1.0
    sd_blade = float(rng.uniform(0.05, 0.20))
    sd_sharpening = float(rng.uniform(0, 0.06))
    where = float(rng.uniform(0.35, 0.75))
    w0_mid = float(rng.uniform(0.6, 1.6))
    while first_of_b > 1:  # keep the ratio of lives within a factor of two
        top = w0_mid + float(risen(law, 1.0, np.sqrt(first_of_b)))
        lives = [wear_at(law, top, w0_mid, first) for first in (first_of_b, 1.0)]
        if 0.52 <= ratio * lives[0] / lives[1] <= 1.95:
            break
        first_of_b = 1 + 0.8 * (first_of_b - 1) if first_of_b > 1.01 else 1.0
    return {
        "tau": {"A": where * last / np.sqrt(ratio), "B": where * last * np.sqrt(ratio)},
        "first": {"A": 1.0, "B": first_of_b}, "sd_blade": sd_blade,
        "sd_sharpening": sd_sharpening, "w0_mid_um": w0_mid,
    }  # fmt: skip


def _scatter(rng, rolls):
    """Rolls, days, own stages and readings: how far they scatter."""
    wear = lognormal(rng, rng.uniform(0.03, 0.15), rolls)
    made = {"roll_wear": wear / np.exp(np.mean(np.log(wear)))}
    made["sd_day"], made["sd_own"] = float(rng.uniform(0.03, 0.20)), float(rng.uniform(0.03, 0.12))
    made["sd_reading"] = float(rng.uniform(0.04, 0.12))
    made["sd_shift"] = float(rng.uniform(0, 0.04))
    made["scale"] = float(lognormal(rng, 0.02))
    made["scale_declared"] = bool(rng.random() < 0.5)
    slips = bool(rng.random() < 1 / 3)
    made["slip_share"] = float(rng.uniform(0.03, 0.08)) if slips else 0.0
    made["stages_a_day"] = int(rng.integers(1, 4))
    return made


def _rolls_of(rng, made):
    """Which blade is cut on which rolls."""
    every = made["on_both"] or made["roll_count"] == 1
    found = dict.fromkeys(made["blades"])
    for treatment in TREATMENTS:
        names = [name for name, one in made["blades"].items() if one["treatment"] == treatment]
        rng.shuffle(names)
        for j, name in enumerate(names):
            found[name] = list(range(made["roll_count"])) if every else [j % 2]
    return found


def _days(rng, made):
    """The day of each roll's stages, and what a day did to wear and to readings."""
    day, day_of = 0, {}
    for roll in range(made["roll_count"]):
        for stage in range(len(made["stages"])):
            # Each roll has days of its own; the fresh look is on the first of them.
            if stage == 0 or (stage > 1 and (stage - 1) % made["stages_a_day"] == 0):
                day += 1
            day_of[roll, stage] = day
    jump = lognormal(rng, made["sd_day"], day + 1)
    return {"day_of": day_of, "jump": jump, "shift": lognormal(rng, made["sd_shift"], day + 1)}

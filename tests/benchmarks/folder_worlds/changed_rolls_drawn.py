"""What is drawn of a wear study whose rolls of rope ran out within the blades' runs?

Rope     One cut on a roll wears like so many cuts on mean rope, log-normal between the rolls of an
         order: sd 0.05 (good rope), 0.15 (ordinary) or 0.30 (mixed lots).
Wear     A blade's wear u is the sum of its cuts, each times its roll's, over its own life scale.
         Width = fresh width + R(u), fast at first and slower then; R, one a study:
           wide_slower  the wider the land, the slower: dR/du = k / (1 + R/r)^n, n 0.6 to 2.5
           settling     a quick part that is spent, and a steady one: a u / (b + u) + s u
           stretched    top (1 - exp(-(u/u1)^p)), p 0.6 to 0.95, u1 1.2 to 3 times the limit's
Blades   2 to 4 of each of two heat treatments, each sharpened once and run to the last stage. Life
         scales: log-normal between sisters, sd 0.05 to 0.20, one a study. Fresh widths: sd 0.08.
         Half of the studies have treatments alike, half a ratio of 1.15 to 2, either way round.
Stages   Fresh, then 3 to 6, doubling or even. A midway blade on mean rope reaches the limit at 45
         to 80 % of the last. Each is read once, log-normal sd 2 to 8 %, to 0.1 µm.
Falls    alike     every blade goes on with the next roll at the same stage; a third roll in a third
         parted    one treatment's runs are mostly on the first roll, the other's on the second:
                   blade after blade until the roll ends, or stage by stage with one treatment
                   changing late or never and the other early or at once
         one       one blade alone goes on with a second roll
         Where they are not alike, in a third the roll ends between two stages, not at one.
Written  The roll of every row in the column batch; or the roll that a run began with in the column
         block, and in batch the one it went on with, from the first stage that it cut; or both.
         A stage that two rolls cut bears the name of the one that cut more of it.

Falls, scatter of rolls and whether the treatments are alike go by the seed, so that each comes as
often with each, on even and on odd seeds.
"""

from types import SimpleNamespace

import numpy as np

TREATMENTS = ("A", "B")
FALLS = ("alike", "parted", "one")
ROLL_SDS = (0.05, 0.15, 0.30)
KINDS = ("wide_slower", "settling", "stretched")
WRITTEN = ("batch", "block", "both")  # columns in which the log names the rolls
CYCLE = 2 * len(FALLS) * len(ROLL_SDS) * 2  # seeds until all have come with each other


def case_of_seed(seed):
    """How the rolls fall, how far they scatter, and whether the treatments are alike."""
    turn = (seed - 1) // 2
    fall = FALLS[turn % 3]
    return fall, ROLL_SDS[turn // 3 % 3], turn // 9 % 2 == 0


def drawn_shape(rng):
    """A law by its kind and parameters; widths in µm."""
    kind, top_um = str(rng.choice(KINDS)), float(rng.uniform(7, 20))
    if kind == "wide_slower":
        n, r_um = float(rng.uniform(0.6, 2.5)), float(rng.uniform(0.1, 0.8)) * top_um
        k_um = r_um * ((1 + top_um / r_um) ** (n + 1) - 1) / (n + 1)
        return {"kind": kind, "n": n, "r_um": r_um, "k_um": k_um}
    if kind == "settling":
        share, b = float(rng.uniform(0.3, 0.7)), float(rng.uniform(0.08, 0.4))
        return {
            "kind": kind,
            "a_um": share * top_um * (1 + b),
            "b": b,
            "s_um": (1 - share) * top_um,
        }
    p, u1 = float(rng.uniform(0.6, 0.95)), float(rng.uniform(1.2, 3))
    return {"kind": kind, "p": p, "u1": u1, "top_um": top_um / (1 - np.exp(-((1 / u1) ** p)))}


def rise_um(law, wear):
    """How much wider the edge is after so much wear, µm; 1 is about the limit's."""
    u = np.asarray(wear, float)
    if law["kind"] == "wide_slower":
        n, r_um = law["n"], law["r_um"]
        return r_um * ((1 + (n + 1) * law["k_um"] * u / r_um) ** (1 / (n + 1)) - 1)
    if law["kind"] == "settling":
        return law["a_um"] * u / (law["b"] + u) + law["s_um"] * u
    return law["top_um"] * (1 - np.exp(-((u / law["u1"]) ** law["p"])))


def drawn_rolls_study(seed):
    """All of a study: its blades, its rolls, and the cuts at which each blade changed its roll."""
    rng = np.random.default_rng([31877, seed])
    fall, roll_sd, treatments_alike = case_of_seed(seed)
    made = {"fall": fall, "roll_sd": roll_sd, "law": drawn_shape(rng)}
    made["stages"] = _stages(rng)
    made |= _blades(rng, made["stages"][-1], 1.0 if treatments_alike else _ratio(rng))
    made["limit_um"] = round(2 * (made["w0_um"] + float(rise_um(made["law"], 1.0)))) / 2
    made["between"] = bool(fall != "alike" and rng.random() < 1 / 3)
    changes = {"alike": _changed_alike, "parted": _changed_parted, "one": _changed_one}[fall]
    made["changes"] = changes(rng, made)
    rolls = 1 + max(len(each) for each in made["changes"].values())
    made["roll_wear"] = np.exp(rng.normal(0, roll_sd, rolls))
    made["written"] = str(rng.choice(WRITTEN))
    made["sd_reading"] = float(rng.uniform(0.02, 0.08))
    size = len(made["blades"]), len(made["stages"])
    read = np.exp(rng.normal(0, made["sd_reading"], size))
    made["read"] = dict(zip(made["blades"], read, strict=True))
    return SimpleNamespace(**made)


def _stages(rng):
    """Cuts of the stages, the fresh edge first."""
    count = int(rng.integers(3, 7))
    if rng.random() < 0.5:
        return np.r_[0, int(rng.choice([10, 20, 25, 40])) * 2 ** np.arange(count)]
    return int(rng.choice([25, 40, 50, 75])) * np.arange(count + 1)


def _ratio(rng):
    """Life of B's median blade over A's, where they are not alike."""
    ratio = float(np.exp(rng.uniform(np.log(1.15), np.log(2))))
    return ratio if rng.random() < 0.5 else 1 / ratio


def _blades(rng, last, ratio):
    """Each blade's life scale (cuts of mean rope that are u = 1) and fresh width."""
    many, sd = int(rng.integers(2, 5)), float(rng.uniform(0.05, 0.20))
    midway, w0_um = float(rng.uniform(0.45, 0.80)) * last, float(rng.uniform(0.8, 2.0))
    scale = {"A": midway / np.sqrt(ratio), "B": midway * np.sqrt(ratio)}
    blades = {
        f"{treatment}{k + 1}": {
            "treatment": treatment,
            "scale_cuts": float(scale[treatment] * np.exp(rng.normal(0, sd))),
            "w0_um": float(w0_um * np.exp(rng.normal(0, 0.08))),
        }
        for treatment in TREATMENTS
        for k in range(many)
    }
    return {"ratio": ratio, "scale": scale, "sd_blade": sd, "w0_um": w0_um, "blades": blades}


def _changed_alike(rng, made):
    """Every blade changes at the same stages."""
    inner = made["stages"][1:-1]
    many = 2 if len(inner) > 1 and rng.random() < 1 / 3 else 1
    at = sorted(int(cuts) for cuts in rng.choice(inner, many, replace=False))
    return dict.fromkeys(made["blades"], tuple(at))


def _changed_one(rng, made):
    """One blade changes; the others stay on the first roll."""
    at = _roll_ends(rng, made, int(rng.integers(1, len(made["stages"]) - 1)))
    one = str(rng.choice(list(made["blades"])))
    return {name: (at,) if name == one else () for name in made["blades"]}


def _changed_parted(rng, made):
    """One treatment's runs are mostly on the first roll, the other's on the second."""
    first = TREATMENTS if rng.random() < 0.5 else TREATMENTS[::-1]
    order = [n for t in first for n, one in made["blades"].items() if one["treatment"] == t]
    last, half = int(made["stages"][-1]), len(order) // 2
    inner = len(made["stages"]) - 2
    if rng.random() < 0.5:  # blade after blade: the last of the first half, or the next, changes
        turn = half - 1 + int(rng.random() < 0.5)
        at = _roll_ends(rng, made, int(rng.integers(1, inner + 1)))
        return {
            n: (last,) if k < turn else (0,) if k > turn else (at,) for k, n in enumerate(order)
        }
    early, late = _roll_ends(rng, made, 1), _roll_ends(rng, made, inner)
    changes = {
        n: (late if rng.random() < 0.5 else last,) if k < half else (early * (rng.random() < 0.5),)
        for k, n in enumerate(order)
    }
    return changes | {order[half - 1]: (late,), order[half]: (early,)}


def _roll_ends(rng, made, stage):
    """Cuts of a blade at which its roll ended: at a stage, or between it and the next."""
    at, then = (int(cuts) for cuts in made["stages"][stage : stage + 2])
    return at + int(made["between"] * rng.uniform(0.1, 0.9) * (then - at))

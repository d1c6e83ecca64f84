"""Does the shop book hold the truth where blades come out of oven loads?

    python -m tests.benchmarks.batch_worlds [--half look|report] [--count 100] [--kinds …]

Invented shops, written from this description alone. The oven of a small shop takes two to six
blades. One load is heated, quenched in one bucket of oil and tempered together: all of it shares
what the thermometer misread that day, how long the door stood open and how warm the oil was. The
next load of the same recipe comes out otherwise, by 0 to 20 % in life; that is a batch. In most
studies all blades of a heat treatment are one load. Some shops make them in two loads, since the
oven is small or a blade cracked and was made anew; a careful one gives each blade a load of its
own. Some shops quench one load for all and part it for the tempers: what the quench did is then
shared by every heat treatment of the study. Blades left over from a load may go into the next
study, under the load's old name. Bar of steel, season and the hand that ground them differ from
study to study and tell on one heat treatment more than on another, by 0 to 15 %. Blades of one
load differ by 5 to 20 %, one in fifty is a dud; rolls, rope, control blade and readings are those
of `tests.benchmarks.shop_worlds`. Loads are numbered anew in each study or named by their day.
Some makers do not note them at all. All ranges are common practice, no source.

Truths: the long-run ratio of two heat treatments; the ratio in the next study, made in loads as
this shop makes them (a load a blade: what a load does is then each blade's own); the standard
deviations of a load, of a study and, within a load, of a blade, with the duds that there were;
where loads are not told apart, what they add to the blades of one heat treatment is the blades'.
"""

import argparse
from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np

from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_lives import ArmLife, StudyLives
from tests.benchmarks.shop_worlds import (
    ARMS,
    BEGIN,
    DUD,
    DUD_LOG,
    HELD_CONTROL,
    arm_name,
)

DUD_SQUARES = np.mean(np.log(np.linspace(*DUD, 2001)) ** 2)  # of a dud's log life
KINDS = ("one load", "two loads", "a load a blade", "parted tempers", "left over", "not noted")
COUNTS = (2, 3, 4, 6, 12)
STUDIES = max(COUNTS) + 1


@dataclass(frozen=True)
class Oven:
    """What a shop is; standard deviations of log life."""

    kind: str
    means: np.ndarray
    control: float
    load: float
    study: float
    blade: float
    roll: float
    rope: float
    sharpening: float
    reading: float
    years: np.ndarray
    by_day: bool  # loads are named by their day; else numbered anew in each study


@dataclass
class Told:
    """The studies of a shop, what the studies did to each heat treatment, and the next's loads."""

    oven: Oven
    studies: np.ndarray
    next_loads: np.ndarray
    lives: list = field(default_factory=list)
    duds: list = field(default_factory=list)  # of each study: duds, and blades


def built(kind, rng):
    """A shop of a kind."""
    return Oven(
        kind, means=np.log(150) + rng.uniform(0, np.log(2), ARMS),
        control=np.log(150) + rng.uniform(-0.3, 0.6), load=rng.uniform(0, 0.20),
        study=rng.uniform(0, 0.15), blade=rng.uniform(0.05, 0.20), roll=rng.uniform(0, 0.20),
        rope=rng.uniform(0, 0.30), sharpening=rng.uniform(0.03, 0.10),
        reading=rng.uniform(0.02, 0.08),
        years=np.sort(np.append(0.0, rng.uniform(0, rng.uniform(1, 10), STUDIES - 1))),
        by_day=bool(rng.random() < 0.5),
    )  # fmt: skip


@dataclass
class Loads:
    """Loads of the oven as they come, each with its name and what it did."""

    oven: Oven
    rng: np.random.Generator
    kept: dict = field(default_factory=dict)  # by heat treatment: a load with blades left over
    count: int = 0

    def fresh(self, number):
        """A new load: its name in study `number`, and what it did to the life."""
        self.count += 1
        name = f"day {number:02d}-{self.count}" if self.oven.by_day else f"{self.count}"
        return name, self.oven.load * self.rng.standard_normal()

    def of_study(self, number, arms, many):
        """By heat treatment, the load of each of its blades."""
        if not self.oven.by_day:
            self.count = 0
        kind = self.oven.kind
        if kind == "parted tempers":
            quenches = [self.fresh(number) for _ in range(2 if many > 2 else 1)]
            return {arm: [quenches[i % len(quenches)] for i in range(many)] for arm in arms}
        each = {"two loads": 2, "a load a blade": many, "not noted": 2}.get(kind, 1)
        found = {}
        for arm in arms:
            loads = [self.fresh(number) for _ in range(min(each, many))]
            if kind == "left over" and arm in self.kept:
                loads = [self.kept[arm], *loads]
            found[arm] = [loads[i % len(loads)] for i in range(many)]
            self.kept[arm] = loads[-1]
        return found


def studied(told, number, loads, rng):
    """One study as it is remembered."""
    oven, years = told.oven, told.oven.years[number]
    arms = [int(each) for each in rng.choice(ARMS, int(rng.choice([2, 2, 3])), replace=False)]
    many = int(rng.choice([2, 3, 4, 4]))
    rope = oven.rope * rng.standard_normal()
    rolls = rope + oven.roll * rng.standard_normal(many)
    made, runs, duds = loads.of_study(number, arms, many), [], 0

    def run(arm, blade, roll, life, batch=""):
        told_se = oven.reading * np.sqrt(rng.chisquare(6) / 6)
        read = life + oven.reading * rng.standard_normal()
        batch = "" if oven.kind == "not noted" else batch
        runs.append(ArmLife(arm, blade, f"roll {roll + 1}", float(read), float(told_se), batch))

    for arm in arms:
        for blade, roll in enumerate(rng.permutation(many)):
            name, did = made[arm][blade]
            own = oven.blade * rng.standard_normal() + did
            dud = rng.random() < 0.02
            duds += dud
            own += np.log(rng.uniform(*DUD)) if dud else 0.0
            life = oven.means[arm] + told.studies[number, arm] + own + rolls[roll]
            run(arm_name(arm), f"blade {number}.{arm + 1}.{blade + 1}", roll, life, name)
    for roll in range(many):
        life = oven.control + oven.sharpening * rng.standard_normal() + rolls[roll]
        run(HELD_CONTROL, "K", roll, life)
    told.duds.append((duds, many * len(arms)))
    told.lives.append(StudyLives(
        f"study {number + 1:02d}", date=str(BEGIN + timedelta(days=round(365.25 * years))),
        protocol="rope", reading="edge width", limit=12.0, invented=False,
        control=HELD_CONTROL, runs=tuple(runs),
    ))  # fmt: skip


def told_of(kind, seed):
    """The studies of the shop of a kind and seed."""
    rng = np.random.default_rng((77, KINDS.index(kind), seed))
    oven = built(kind, rng)
    size = (STUDIES, ARMS)
    told = Told(oven, oven.study * rng.standard_normal(size),
                oven.load * rng.standard_normal(ARMS))  # fmt: skip
    loads = Loads(oven, rng)
    for number in range(STUDIES):
        studied(told, number, loads, rng)
    return told


def truth_of(told, count, arm, against):
    """Log of the long-run ratio, and of the ratio in the study after the first `count`."""
    oven, names = told.oven, [arm_name(each) for each in range(ARMS)]

    def mean_and_next(name):
        if name == HELD_CONTROL:
            return np.array([oven.control, oven.control])
        at = names.index(name)
        mean = oven.means[at] + 0.02 * DUD_LOG
        # Of as many loads as the shop makes of a heat treatment, their mean.
        loads = told.next_loads[at] / np.sqrt(loads_among(oven.kind))
        if oven.kind == "a load a blade":
            loads = 0.0
        return np.array([mean, mean + told.studies[count, at] + loads])

    return mean_and_next(arm) - mean_and_next(against)


def loads_among(kind):
    """Loads over which a heat treatment's study mean is taken."""
    return 1 if kind in ("one load", "left over") else 2


def loads_among_blades(studies):
    """Share of the variance of loads in what rolls and heat treatments leave over of blades."""
    from_loads, own = 0.0, 0.0
    for runs in studies:
        of_rolls, of_arms = (
            np.array([[float(each == name) for name in sorted(set(values))] for each in values])
            for values in ([r.block for r in runs], [r.arm for r in runs])
        )
        fixed = np.hstack([of_rolls, of_arms])
        left = np.eye(len(runs)) - fixed @ np.linalg.pinv(fixed)
        blades = np.array([r.arm != HELD_CONTROL for r in runs])
        names = sorted({r.batch for r in runs if r.arm != HELD_CONTROL})
        loads = np.array([[float(r.batch == name and b) for name in names]
                          for r, b in zip(runs, blades, strict=True)])  # fmt: skip
        from_loads += ((left @ loads)[blades] ** 2).sum()
        own += (left[np.ix_(blades, blades)] ** 2).sum()
    return from_loads / own if own else 0.0


def scatters_told(pool, told, count, row):
    """Whether batches and studies were told apart, and each interval held the truth."""
    oven, (duds, blades) = told.oven, np.sum(told.duds[:count], axis=0)
    batch = pool["batch_sd"]
    row["batch told"] = batch is not None
    if batch:
        row |= held("batch", batch["low"], batch["high"], oven.load, np.asarray)
    # Where they are not told apart: loads of one blade are the blades' part, others the study's.
    loads = (
        0.0
        if batch or oven.kind == "a load a blade"
        else oven.load / np.sqrt(loads_among(oven.kind))
    )
    truth = np.sqrt(2) * np.hypot(oven.study, loads)
    blade = pool["blade_sd"]
    among = 0.0
    if oven.kind != "not noted" and not batch:
        among = oven.load * np.sqrt(loads_among_blades([s.runs for s in told.lives[:count]]))
    if oven.kind != "not noted":
        own = np.sqrt(oven.blade**2 + among**2 + oven.reading**2
                      + duds / blades * (DUD_SQUARES - duds / blades * DUD_LOG**2))  # fmt: skip
        row |= held("blade", blade["low"], blade["high"], own, np.asarray)
    between = pool["between_sd"]
    if between["high"] is not None:
        row |= held("study", between["low"], between["high"], truth, np.asarray)
    return row


def held(what, low, high, truth, scale=np.log):
    """Whether an interval was given and held the truth, and how wide it was."""
    if low is None or high is None or (scale is np.log and low <= 0):
        return {f"{what} held": np.nan, f"{what} width": np.nan}
    width = high / low if scale is np.log else high - low
    return {f"{what} held": bool(scale(low) <= truth <= scale(high)), f"{what} width": width}


def judged(told, count):
    """Rows of the book of the first studies: one a comparison, one a pool for the scatters."""
    rows = []
    for pool in shop_book(told.lives[:count]).to_dict()["pools"]:
        rows.append(scatters_told(pool, told, count, {}))
        for each in (*pool["arms"], *pool["pairs"]):
            mean, after = truth_of(told, count, each["arm"], each["against"])
            ratio = each["ratio"]
            row = held("mean", ratio["low"], ratio["high"], mean)
            rows.append(row | held("next", each["next_low"], each["next_high"], after))
    return rows


def ran(kind, half, count, first=0):
    """Rows of all shops of a kind by number of studies; seeds from `first` on."""
    rows = {many: [] for many in COUNTS}
    for seed in range(first + (half == "look"), first + 2 * count, 2):
        told = told_of(kind, seed)
        for many in COUNTS:
            rows[many] += judged(told, many)
    return rows


def share(rows, key):
    """Mean of a key over the rows that have it."""
    found = [row[key] for row in rows if key in row and not np.isnan(row[key])]
    return np.mean(found) if found else np.nan


def main():
    """Print the tables: odd seeds to look and choose, even ones to report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=("look", "report"), default="look")
    parser.add_argument("--count", type=int, default=100, help="shops of each kind")
    parser.add_argument("--first", type=int, default=0, help="first seed, even: fresh ones")
    parser.add_argument("--kinds", default=",".join(KINDS))
    asked = parser.parse_args()
    found = {
        kind: ran(kind, asked.half, asked.count, asked.first) for kind in asked.kinds.split(",")
    }
    for what in ("mean", "next", "batch", "study", "blade"):
        print(f"\n| held, {what} | " + " | ".join(map(str, COUNTS)) + " | width at 3 | at 12 |")
        print("| --- " * (len(COUNTS) + 3) + "|")
        for kind, by in found.items():
            cells = [100 * share(by[many], f"{what} held") for many in COUNTS]
            wide = [np.nanmedian([r.get(f"{what} width", np.nan) for r in by[many]] or [np.nan])
                    for many in (3, 12)]  # fmt: skip
            words = [f"{each:.1f}" for each in cells] + [f"{each:.2f}" for each in wide]
            print(f"| {kind} | " + " | ".join(words).replace("nan", "–") + " |")
    print("\n| batches told apart, % of books | " + " | ".join(map(str, COUNTS)) + " |")
    print("| --- " * (len(COUNTS) + 1) + "|")
    for kind, by in found.items():
        cells = [f"{100 * share(by[many], 'batch told'):.0f}" for many in COUNTS]
        print(f"| {kind} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()

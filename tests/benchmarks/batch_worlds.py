"""Does the shop book hold the truth where blades come out of oven loads?

    python -m tests.benchmarks.batch_worlds [--count 100]

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

Truths: the long-run ratio of two heat treatments; the ratio in the next study, each heat
treatment made in one load; the standard deviations of a load and of a study.
"""

import argparse
from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np

from edgetest.study.shop.study_lives import ArmLife, StudyLives
from tests.benchmarks.shop_worlds import (
    ARMS,
    BEGIN,
    DUD,
    DUD_LOG,
    HELD_CONTROL,
    arm_name,
)

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
    made, runs = loads.of_study(number, arms, many), []

    def run(arm, blade, roll, life, batch=""):
        told_se = oven.reading * np.sqrt(rng.chisquare(6) / 6)
        read = life + oven.reading * rng.standard_normal()
        batch = "" if oven.kind == "not noted" else batch
        runs.append(ArmLife(arm, blade, f"roll {roll + 1}", float(read), float(told_se), batch))

    for arm in arms:
        for blade, roll in enumerate(rng.permutation(many)):
            name, did = made[arm][blade]
            own = oven.blade * rng.standard_normal() + did
            own += np.log(rng.uniform(*DUD)) if rng.random() < 0.02 else 0.0
            life = oven.means[arm] + told.studies[number, arm] + own + rolls[roll]
            run(arm_name(arm), f"blade {number}.{arm + 1}.{blade + 1}", roll, life, name)
    for roll in range(many):
        life = oven.control + oven.sharpening * rng.standard_normal() + rolls[roll]
        run(HELD_CONTROL, "K", roll, life)
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
        return np.array([mean, mean + told.studies[count, at] + told.next_loads[at]])

    return mean_and_next(arm) - mean_and_next(against)


def main():
    """Print what the shops are like, and how their studies' lives scatter."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=100, help="shops of each kind")
    asked = parser.parse_args()
    print("| kind | loads of a heat treatment in a study | scatter about its study's mean |")
    print("| --- | --- | --- |")
    for kind in KINDS:
        loads, scatter = [], []
        for seed in range(asked.count):
            for study in told_of(kind, seed).lives:
                for arm in {run.arm for run in study.runs} - {HELD_CONTROL}:
                    own = [run for run in study.runs if run.arm == arm]
                    loads.append(len({run.batch for run in own if run.batch}))
                    scatter.append(np.var([run.log_life for run in own], ddof=1))
        print(f"| {kind} | {np.mean(loads):.2f} | {np.sqrt(np.mean(scatter)):.3f} |")


if __name__ == "__main__":
    main()

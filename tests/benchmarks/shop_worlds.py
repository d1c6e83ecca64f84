"""Does the shop book hold the truth of shops that were built from a physical description alone?

    python -m tests.benchmarks.shop_worlds [--half look|report] [--count 200] [--kinds plain,…]

Invented shops: oven, blades, rope, control blade and reading each have their own scatter, within
ranges of common practice, no source. Even seeds are for looking and choosing, odd seeds for
reporting. A shop runs 13 studies; the book reads the first 1, 2, 3, 4, 6 and 12 of them. Truths:

- mean ratio: difference of the long-run mean log lives of two heat treatments, duds included;
- against the control blade: its log life falls from year to year, so its truth is the mean over
  the days of those studies read that ran the heat treatment and the control blade;
- next study: what the batch of the study that follows was truly worth (each heat treatment has a
  batch then, whether tested or not), against the control blade as it is on that day.
"""

import argparse
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_lives import CONTROL, ArmLife, StudyLives

KINDS = (
    "plain", "uneven heat treatments", "heavy tails", "drifting rope and control",
    "no control blade", "few blades", "repeats what it liked", "long lives stopped early",
)  # fmt: skip
COUNTS = (1, 2, 3, 4, 6, 12)
STUDIES = max(COUNTS) + 1
BEGIN = date(2014, 3, 1)
ARMS = 5
DUD = (0.3, 0.6)  # of the life, flat between
# Mean of log of a flat distribution between the two.
DUD_LOG = np.diff([x * (np.log(x) - 1) for x in DUD])[0] / (DUD[1] - DUD[0])
HELD_CONTROL = f"{CONTROL} K"


@dataclass(frozen=True)
class Shop:
    """What a shop is, in logs of life; scatters are standard deviations."""

    kind: str
    means: np.ndarray
    control_mean: float
    uneven: np.ndarray  # of each heat treatment from batch to batch
    tails: str
    blade: float
    duds: float
    roll: float
    rope: float
    rope_drift: float  # a year
    control_loss: float  # a year
    sharpening: float
    reading: float
    years: np.ndarray  # of each study from the first day
    loyal: float  # how many times as likely the best of a study is in the next
    blades: tuple
    stop: float  # log of cuts at which a long life is stopped

    @property
    def long_run(self):
        """Mean log life of each heat treatment, duds included."""
        return self.means + self.duds * DUD_LOG

    def control_at(self, years):
        """Log life of the control blade on a day, on the rope of the first day."""
        return self.control_mean - self.control_loss * years


@dataclass
class History:
    """The studies of a shop, and what is true of them."""

    shop: Shop
    batches: np.ndarray  # departure of each heat treatment in each study
    lives: list = field(default_factory=list)
    tested: list = field(default_factory=list)


def built(kind, rng):
    """A shop of a kind, everything within the ranges of the description."""
    drifting, few = kind == "drifting rope and control", kind == "few blades"
    means = np.log(150) + rng.uniform(0, np.log(2), ARMS)
    uneven = np.full(ARMS, rng.uniform(0, 0.25))
    if kind == "uneven heat treatments":
        uneven = np.where(rng.permutation(ARMS) < 2, rng.uniform(0.18, 0.25), rng.uniform(0, 0.05))
    if kind == "heavy tails":
        uneven = np.full(ARMS, rng.uniform(0.08, 0.25))
    span = rng.uniform(7, 10) if drifting else rng.uniform(1, 10)
    stop = np.inf
    if kind == "long lives stopped early":
        stop = means.max() + rng.uniform(0.0, 0.4)
    return Shop(
        kind=kind, means=means, control_mean=np.log(150) + rng.uniform(-0.3, 0.6), uneven=uneven,
        tails=rng.choice(["t", "misread"]) if kind == "heavy tails" else "normal",
        blade=rng.uniform(0.05, 0.20), duds=rng.uniform(0, 0.03), roll=rng.uniform(0, 0.20),
        rope=rng.uniform(0, 0.30),
        rope_drift=rng.choice([-1, 1]) * rng.uniform(0.03 if drifting else 0, 0.05),
        control_loss=rng.uniform(0.02 if drifting else 0, 0.03),
        sharpening=rng.uniform(0.03, 0.10), reading=rng.uniform(0.02, 0.08),
        years=np.sort(np.append(0.0, rng.uniform(0, span, STUDIES - 1))),
        loyal=np.inf if kind == "repeats what it liked" else 2.0,
        blades=(1, 2, 2) if few else (2, 3, 3, 4), stop=stop,
    )  # fmt: skip


def departures(shop, rng):
    """How each batch of each study departs from its heat treatment's mean; mean nought."""
    size = (STUDIES, ARMS)
    draws = rng.standard_normal(size)
    if shop.tails == "t":
        draws = rng.standard_t(3, size) / np.sqrt(3)
    if shop.tails == "misread":  # the oven is misread once in ten batches
        draws = draws * np.where(rng.random(size) < 0.1, 3.0, 1.0) / np.sqrt(0.9 + 0.1 * 9)
    return shop.uneven * draws


def arm_name(arm):
    """Two steels, as a shop may use."""
    return f"steel {arm % 2 + 1}: heat treatment {arm + 1}"


def chosen(shop, before, rng):
    """The heat treatments of the next study; `before` is the order of the last, best first."""
    count = int(rng.choice([2, 3, 4]))
    weight = np.ones(ARMS)
    if before:
        weight[before[0]] = min(shop.loyal, 1e6)
        if np.isinf(shop.loyal):  # it never goes on with what was worst
            weight[before[-1]] = 1e-6
    return rng.choice(ARMS, count, replace=False, p=weight / weight.sum())


def blades_of(shop, arms, rng):
    """How many blades each heat treatment gets: as many of each, sometimes fewer of one."""
    many = int(rng.choice(shop.blades))
    counts = dict.fromkeys((int(arm) for arm in arms), many)
    luck, arm = rng.random(), int(rng.choice(arms))
    if luck < 0.25:
        counts[arm] = max(1, many - 1)
    elif luck < 0.32:
        counts[arm] = 1
    return many, counts


def studied(history, number, before, rng, arms=None):
    """One study as it is remembered; adds it to the history and gives the order seen.

    `arms` are its heat treatments, where they are not the shop's to choose.
    """
    shop, years = history.shop, history.shop.years[number]
    arms = chosen(shop, before, rng) if arms is None else arms
    many, counts = blades_of(shop, arms, rng)
    rope = shop.rope * rng.standard_normal() + shop.rope_drift * years
    rolls = rope + shop.roll * rng.standard_normal(many)
    runs, seen, bounds = [], {}, set()

    def run(arm, blade, roll, life):
        """Read a life, or stop it; a stopped one tells a bound alone."""
        if life > shop.stop and rng.random() < 0.7:
            bounds.add(arm)
            return shop.stop
        told = shop.reading * np.sqrt(rng.chisquare(6) / 6)
        read = life + shop.reading * rng.standard_normal()
        runs.append(ArmLife(arm, blade, f"roll {roll + 1}", float(read), float(told)))
        return read

    for arm, count in counts.items():
        mean = shop.means[arm] + history.batches[number, arm]
        for roll in rng.permutation(many)[:count]:
            own = shop.blade * rng.standard_normal()
            own += np.log(rng.uniform(*DUD)) if rng.random() < shop.duds else 0.0
            read = run(arm_name(arm), f"blade {arm + 1}.{roll + 1}", roll, mean + own + rolls[roll])
            seen.setdefault(arm, []).append(read)
    controlled = shop.kind != "no control blade"
    for roll in range(many if controlled else 0):
        life = shop.control_at(years) + shop.sharpening * rng.standard_normal() + rolls[roll]
        run(HELD_CONTROL, "K", roll, life)
    history.tested.append(set(map(arm_name, counts)) | ({HELD_CONTROL} if controlled else set()))
    history.lives.append(StudyLives(
        f"study {number + 1:02d}", date=str(BEGIN + timedelta(days=round(365.25 * years))),
        protocol="rope", reading="edge width", limit=12.0, invented=False,
        control=HELD_CONTROL if controlled else "", runs=tuple(runs), bounds=tuple(sorted(bounds)),
    ))  # fmt: skip
    return sorted(seen, key=lambda arm: -np.mean(seen[arm]))


def history_of(kind, seed):
    """The studies of the shop of a kind and seed."""
    rng = np.random.default_rng((KINDS.index(kind), seed))
    shop = built(kind, rng)
    history, before = History(shop, departures(shop, rng)), []
    for number in range(STUDIES):
        before = studied(history, number, before, rng)
    return history


def truth_of(history, count, arm, against):
    """Log of the true mean ratio, and of the true ratio in the study after the first `count`."""
    shop, names = history.shop, [arm_name(each) for each in range(ARMS)]
    both = [n for n in range(count) if {arm, against} <= history.tested[n]]
    days = shop.years[both] if both else shop.years[:count]

    def mean_and_next(name):
        if name == HELD_CONTROL:
            return np.array([shop.control_at(days).mean(), shop.control_at(shop.years[count])])
        index = names.index(name)
        mean = shop.long_run[index]
        return np.array([mean, mean + history.batches[count, index]])

    return *(mean_and_next(arm) - mean_and_next(against)), len(both)


def judged(history, count):
    """A row for each comparison of the book of the first studies."""
    book = shop_book(history.lives[:count]).to_dict()
    rows = []
    for pool in book["pools"]:
        for each in (*pool["arms"], *pool["pairs"]):
            mean, after, both = truth_of(history, count, each["arm"], each["against"])
            ratio = each["ratio"]
            row = {"control": HELD_CONTROL in (each["arm"], each["against"]), "both": both}
            row |= held("mean", ratio["low"], ratio["high"], mean)
            row |= held("next", each["next_low"], each["next_high"], after)
            rows.append(row)
    return rows


def held(what, low, high, truth):
    """Whether an interval was given and held the truth, and how wide it was, as a factor."""
    given = low is not None and high is not None and low > 0 and np.isfinite(high)
    if not given:
        return {f"{what} given": False, f"{what} held": np.nan, f"{what} width": np.nan}
    inside = bool(np.log(low) <= truth <= np.log(high))
    return {f"{what} given": True, f"{what} held": inside, f"{what} width": high / low}


def ran(kind, half, count, first=0):
    """Rows of all shops of a kind by number of studies; seeds from `first` on."""
    rows = {many: [] for many in COUNTS}
    for seed in range(first + (half == "report"), first + 2 * count, 2):
        history = history_of(kind, seed)
        for many in COUNTS:
            rows[many].append(judged(history, many))
    return rows


def share(shops, key, wanted=lambda row: True):
    """Mean of a key over all comparisons that have it; nan where none has."""
    found = [row[key] for rows in shops for row in rows if wanted(row)]
    found = [each for each in found if not np.isnan(each)]
    return np.mean(found) if found else np.nan


def spread(shops, key):
    """Standard error of `share`, shops counting as wholes."""
    sums = [(np.nansum([r[key] for r in rows]), sum(not np.isnan(r[key]) for r in rows))
            for rows in shops]  # fmt: skip
    got, many = np.array(sums, float).T
    return np.sqrt(np.sum((got - many * got.sum() / many.sum()) ** 2)) / many.sum()


def cells(values, form="{:.1f}"):
    """Table cells; a dash where there is nothing."""
    return " | ".join("–" if np.isnan(each) else form.format(each) for each in values)


def table(found, what):
    """Coverage in percent by kind and number of studies, worst from three studies up first."""
    later = [n for n in COUNTS if n > 1]
    rows = {kind: [100 * share(found[kind][n], f"{what} held") for n in later] for kind in found}
    print(f"| held, {what} | " + " | ".join(map(str, later)) + " | width at 3 | at 12 |")
    print("| --- " * (len(later) + 3) + "|")
    for kind in sorted(rows, key=lambda each: min(rows[each][1:])):
        wide = [np.nanmedian([r[f"{what} width"] for rs in found[kind][n] for r in rs])
                for n in (3, 12)]  # fmt: skip
        print(f"| {kind} | {cells(rows[kind])} | {cells(wide, '× {:.2f}')} |")
    print()


def more(found):
    """Refusals, standard errors, and coverage by what is compared and by studies that hold both."""
    print("| kind | studies | comparisons | without interval | mean ± | next ± "
          "| mean: control | mean: pairs | next: control | next: pairs |")  # fmt: skip
    print("| --- " * 10 + "|")
    for kind, by in found.items():
        for many, shops in by.items():
            number = sum(map(len, shops))
            without = 100 * (1 - share(shops, "mean given"))
            if many == 1:
                print(f"| {kind} | 1 | {number} | {without:.1f} | – | – | – | – | – | – |")
                continue
            parts = [100 * share(shops, f"{what} held", lambda r, c=c: r["control"] is c)
                     for what in ("mean", "next") for c in (True, False)]  # fmt: skip
            errors = [100 * spread(shops, f"{what} held") for what in ("mean", "next")]
            print(f"| {kind} | {many} | {number} | {cells([without, *errors, *parts])} |")
    print("\n| studies that hold both (3 and more studies read) | comparisons | mean | next |")
    print("| --- | --- | --- | --- |")
    late = [rows for by in found.values() for many, shops in by.items() if many > 2
            for rows in shops]  # fmt: skip
    for low, high in ((0, 0), (1, 1), (2, 2), (3, 3), (4, 6), (7, 12)):

        def wanted(row, low=low, high=high):
            return low <= row["both"] <= high

        number = sum(wanted(r) for rows in late for r in rows)
        both = [100 * share(late, f"{what} held", wanted) for what in ("mean", "next")]
        print(f"| {low} to {high} | {number} | {cells(both)} |")


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=("look", "report"), default="look")
    parser.add_argument("--count", type=int, default=200, help="shops of each kind")
    parser.add_argument("--first", type=int, default=0, help="first seed, even: fresh ones")
    parser.add_argument("--kinds", default=",".join(KINDS))
    asked = parser.parse_args()
    found = {
        kind: ran(kind, asked.half, asked.count, asked.first) for kind in asked.kinds.split(",")
    }
    for what in ("mean", "next"):
        table(found, what)
    more(found)


if __name__ == "__main__":
    main()

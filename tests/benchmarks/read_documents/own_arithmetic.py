"""What do log and facts bear, by counting, medians and straight lines between stages?"""

import math
import re
from itertools import pairwise
from statistics import mean, median

from tests.benchmarks.read_documents.maker_words import Typed

NEAR = 0.75  # of the limit: up to here a reading is surely short of it
MINUTES = {"min": 1, "h": 60}


class Bearings:
    """Counts and simple figures of one invented study; no code of the program."""

    def __init__(self, study):
        self.study = study
        self.main = study.asked.main
        self.names = {id_: title or id_ for id_, (title, _) in study.treatments.items()}
        self.in_use = [r for r in study.rows if not r.get("exclude")]

    def shown(self, treatment):
        """A heat treatment as a document names it."""
        return self.names[treatment]

    def cut_blades(self, treatment):
        """Blades of a heat treatment that were cut and read."""
        ran = {r["blade"] for r in self.in_use if r.get(self.main)}
        return [b for b in self.study.blades if b.treatment == treatment and b.id in ran]

    def counted(self, treatment, kind):
        """How many blades of a heat treatment were cut, or the batches or blocks they came in."""
        cut = self.cut_blades(treatment)
        if kind == "batches":
            return self._batches([b.facts.get("batch") for b in cut])
        if kind == "blocks":
            ids = {b.id for b in cut}
            return len({r.get("block", "") for r in self.in_use if r["blade"] in ids})
        return len(cut)

    def _batches(self, noted):
        """Batches of some blades; a blank is one of its fellows', as the document says.

        Where a batch holds every heat treatment each blank is a batch of its own.
        """
        held = [
            {b.facts.get("batch") for b in self.cut_blades(kind)} for kind in self.study.treatments
        ]
        named, blank = {*noted} - {None}, noted.count(None)
        if set.intersection(*held) - {None}:
            return len(named) + blank
        return len(named) or bool(blank)

    def means(self, blade, block=None):
        """Mean reading by stage of one blade's run."""
        by_stage = {}
        for row in self.in_use:
            here = row["blade"] == blade and block in (None, row.get("block", ""))
            if here and row.get(self.main):
                by_stage.setdefault(int(row["cuts"]), []).append(float(row[self.main]))
        return {stage: mean(by_stage[stage]) for stage in sorted(by_stage)}

    def last(self, blade, block=None):
        """The last stage at which a blade was read."""
        return max(self.means(blade, block), default=None)

    def crossing(self, blade, block=None):
        """Cuts at which the mean reading passes the limit; infinity where it never does."""
        return crossing(self.means(blade, block), self.study.limit)

    def over_untrue(self, blade, cuts, block=None):
        """What contradicts 'over so many cuts' of a blade, or nothing.

        It is its last stage, or less where its readings there lie near the limit: an edge that
        may have passed it by then is known to have lasted a part of its stages alone.
        """
        means, limit = self.means(blade, block), self.study.limit
        if not means:
            return f"{blade} was never read"
        last = max(means)
        if abs(cuts - last) < 0.5:
            return None
        if cuts > last:
            return f"the last stage of {blade} was {last}"
        if means[last] < limit * NEAR:
            return f"{blade} read {means[last]:.4g} at its last stage, {last}"
        worn = [mean for stage, mean in means.items() if stage <= cuts]
        return f"{blade} had passed the limit before" if max(worn, default=0) > limit else None

    def least_life(self, treatment):
        """Median of the cuts that a heat treatment's blades lasted at the least."""
        blades = [b.id for b in self.cut_blades(treatment)]
        lives = [(self.crossing(blade), self.last(blade)) for blade in blades]
        return median(min(pair) for pair in lives) if lives else 0.0

    def reading_at(self, treatment, cuts):
        """Geometric middle of the blades' means at a stage that every one of them has."""
        found = [self.means(b.id).get(cuts) for b in self.cut_blades(treatment)]
        found = [f for f in found if f]
        return math.exp(mean(math.log(f) for f in found)) if found else None

    def life(self, treatment):
        """Median crossing of a heat treatment's blades; infinity where most never cross."""
        lives = [self.crossing(b.id) for b in self.cut_blades(treatment)]
        return median(lives) if lives else math.inf


def crossing(means, limit):
    """Where a line through the stage means first stays above the limit."""
    stages = list(means)
    for before, after in pairwise(stages):
        if means[before] < limit <= means[after]:
            share = (limit - means[before]) / (means[after] - means[before])
            return before + share * (after - before)
    return math.inf if stages and means[stages[-1]] < limit else 0.0


def worth(text):
    """Millimetres, grams, °C or minutes of a text, by this reader's own table."""
    found = re.match(r"^(?:(\d+) )?(\d+)/(\d+) in$", text)
    if found:
        whole, over, under = (int(g or 0) for g in found.groups())
        return (whole + over / under) * 25.4
    found = re.match(r"^([\d.]+) ?(mm|in|thou|g|lb|oz|°C|°F|min|h)$", text)
    if not found:
        return None
    number, unit = float(found[1]), found[2]
    if unit == "°F":
        return (number - 32) * 5 / 9
    each = {"mm": 1, "in": 25.4, "thou": 0.0254, "g": 1, "lb": 453.59237, "oz": 28.349523, "°C": 1}
    return number * (each | MINUTES)[unit]


def typed_back(text, typed, wish):
    """Whether a quantity in a document is what was typed, or that in the units wished for."""
    if not isinstance(typed, Typed):
        return text == str(typed)
    if text in typed.shown:
        return True
    found = re.match(r"^(.+?) \((.+)\)$", text)
    parts = found.groups() if found and wish == "both" else (text,)
    if wish is None and text not in typed.shown:
        return False
    return all(part in typed.shown or _near(part, typed.worth) for part in parts)


def _near(text, value):
    told = worth(text)
    if told is None:
        return False
    step = 0.6 if "°" in text else max(0.06 * abs(value), 1e-9)
    return abs(told - value) <= step

"""How well does an answer hold against the truth of its shop? Counts, added up over shops."""

import math
from collections import defaultdict
from statistics import median

from tests.benchmarks.chop_worlds import answers


class Tally:
    """Hits and tries by name, with the widths of what was given."""

    def __init__(self):
        self.hits = defaultdict(list)
        self.widths = defaultdict(list)
        self.missing = defaultdict(int)
        self.words = defaultdict(list)

    def span(self, name, span, truth, where, *, width=True):
        """One interval against one truth."""
        if span is None:
            self.missing[name] += 1
            return
        good = span.holds(truth)
        self.hits[name].append(good)
        if width:
            self.widths[name].append(span.half_width())
        if not good:
            self.words[name].append(f"{where}: {truth:.4g} not in {span.low:.4g}..{span.high:.4g}")

    def fact(self, name, good, where=""):
        """One thing that is right or wrong."""
        self.hits[name].append(bool(good))
        if not good:
            self.words[name].append(where)

    def lines(self):
        """Worst first: name, share held, count, not given, median half-width."""
        rows = []
        for name in sorted({*self.hits, *self.missing}):
            hits, missing = self.hits[name], self.missing[name]
            share = sum(hits) / len(hits) if hits else math.nan
            widths = [w for w in self.widths[name] if w < math.inf]
            wide = f"x/{math.exp(median(widths)):.2f}" if widths else ""
            open_ends = sum(w == math.inf for w in self.widths[name])
            rows.append((share if hits else -1, name, share, len(hits), missing, wide, open_ends))
        return sorted(rows)


def strokes(tally, shop, truth, answer):
    """As chopped: the right cells, the right strokes in them, the mean within the interval."""
    for cell in truth.cells:
        where = f"{shop.kind} {shop.seed} {cell.tool}"
        section = shop.lots[cell.lot].section
        given, same = answers.cell_for(answer, cell.tool, section, cell.written)
        if given is None:
            tally.missing["as chopped"] += 1
            continue
        tally.fact("strokes listed as logged", same, where)
        if same:
            stand = sum(w.startswith(">") for w in cell.written)
            right = given.get("pieces") == len(cell.written) and given.get("standing") == stand
            tally.fact("pieces and standing", right, where)
        span = answers.interval(given.get("strokes_per_piece"))
        tally.span("as chopped", span, cell.mean, where)
        if abs(cell.anew / cell.mean - 1) > 1e-9:
            tally.span("as chopped, all drawn anew", span, cell.anew, where, width=False)


def wishes(tally, shop, truth, answer):
    """Reckoned for another piece."""
    for tool, mean in truth.wished.items():
        span = answers.reckoned_for(answer, tool)
        tally.span("reckoned", span, mean, f"{shop.kind} {shop.seed} {tool}")


def truth_of(truth, quantity, form, line):
    """The true contrast of a quantity in the form that it is told."""
    if quantity == "loss":
        return truth.contrasts["loss" if form == "difference" else "loss_ratio"]
    if quantity == "depth":
        at = line.get("at_chops") or 0.0
        return truth.contrasts["depth"] * math.exp(truth.contrasts["depth_per_100"] * at / 100)
    return truth.contrasts[{"chip": "chips", "roll": "rolls", "chop": "chops"}[quantity]]


def treatments(tally, shop, truth, answer):
    """Contrasts of the two heat treatments."""
    if not shop.treatments:
        return
    found = answers.contrasts_of(answer, *shop.treatments)
    for quantity in ("chop", "chip", "roll", "depth", "loss"):
        name = f"treatments: {quantity}"
        if quantity not in found:
            tally.missing[name] += 1
            continue
        form, span, line = found[quantity]
        true = truth_of(truth, quantity, form, line)
        where = f"{shop.kind} {shop.seed} {form}"
        tally.span(name, span, true, where, width=form == "ratio")


def doubts(tally, shop, truth, answer):
    """Doubts that were due, and those that were not."""
    told = answers.codes(answer)
    fell = {blade for code, blade in told if code == "damage_fell"}
    for tool in shop.tools:
        where = f"{shop.kind} {shop.seed} {tool.name}"
        if tool.name in truth.falls:
            tally.fact("doubt damage_fell where due", tool.name in fell, where)
        else:
            tally.fact("no damage_fell where none is due", tool.name not in fell, where)
    oblong = any(lot.orientation for lot in shop.lots)
    asked = any(code == "orientation_not_noted" for code, _ in told)
    where = f"{shop.kind} {shop.seed}"
    if oblong and not shop.habits.notes_orientation:
        tally.fact("doubt orientation_not_noted where due", asked, where)
    elif any(code == "orientation_not_noted" for code, _ in told):
        tally.fact("no orientation_not_noted where none is due", False, where)


def worst_damage(tally, shop, truth, answer):
    """What stands as new damage is the worst ever written, of the last edge or of all in all."""
    for entry in answer.told.get("damage") or ():
        if entry.get("when") != "during" or entry.get("kind") not in ("chips", "rolls"):
            continue
        for blade in entry["blades"]:
            which = ("chips", "rolls").index(entry["kind"])
            most = {w[blade["blade"]][which] for w in (truth.worst, truth.in_all)}
            where = f"{shop.kind} {shop.seed} {blade['blade']} {blade['count']} for {most}"
            tally.fact(f"worst {entry['kind']} stand", blade["count"] in most, where)


def rates(tally, shop, truth, answer):
    """Chips and rolls of each blade per 100 chops, where it was not touched up."""
    if shop.habits.touch_up_after is not None:
        return
    for entry in answer.told.get("damage") or ():
        if entry.get("when") != "during" or entry.get("kind") not in ("chips", "rolls"):
            continue
        for blade in entry["blades"]:
            tool = next(t for t in shop.tools if t.name == blade["blade"])
            rows = [r for r in truth.rows if r.tool == tool.name]
            load = sum(r.strokes + r.knots * shop.grain.knot_damage for r in rows)
            true = 100 * getattr(tool, entry["kind"]) * load / sum(r.strokes for r in rows)
            span = answers.interval(blade.get("per_100_chops"))
            where = f"{shop.kind} {shop.seed} {tool.name}"
            tally.span(f"{entry['kind']} per 100 chops", span, true, where, width=False)

"""What a chop test yields: figures, what they were worked out from, and what a change does."""

from collections import Counter
from dataclasses import dataclass, field

from edgetest.chop.as_chopped import AsChopped
from edgetest.chop.balances_compared import SideBySide
from edgetest.chop.chop_report import ChopReport
from edgetest.chop.predict import Prediction
from edgetest.chop.reckoned import Reckoned
from edgetest.chop.tool_outline import Outline
from edgetest.doubts import Doubt, told
from edgetest.estimate import for_json, json_fields
from edgetest.store.chop_log import ChopLog
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.chop.board_order import boards_missed, first_told
from edgetest.study.chop.chip_grown import chip_grown
from edgetest.study.chop.chop_departures import chop_departures
from edgetest.study.chop.chop_looks import Look
from edgetest.study.chop.chop_rows import MeasuredChop, Severing
from edgetest.study.chop.growth_between import Growth
from edgetest.study.chop.handling import Handling
from edgetest.study.chop.mean_with_knots import knots_in_mean
from edgetest.study.chop.side_view_scales import refused_side_views
from edgetest.study.chop.told_looks import told_looks, told_misses
from edgetest.study.chop.touched_off import touched_up_after
from edgetest.study.chop.turns_taken import turns_words
from edgetest.study.words import listed
from edgetest.units import as_typed

ASKED = (
    "handling_asked",
    "blade_size_asked",
    "piece_size_asked",
    "piece_wood_asked",
    "strokes_asked",
    "depth_asked",
)  # told above the figures that rest on them
LEANING = (
    "ratio_differs_by_piece",
    "rests_on_given_up",
    "rests_on_knots",
    "woods_rest_on_knots",
    "touched_up_unlike",
    "hands_apart",
    "hands_unlike",
)  # told right below the ratio of two tools
NOT_RECKONED = ("no_notch", "was_chopped")  # told where the strokes reckoned would stand


@dataclass(frozen=True)
class Thinning:
    """What a thinner tip would do: the tool as it is, as it would be, and the difference."""

    blade: str
    from_mm: float
    tip_mm: float
    before: Prediction
    after: Prediction
    compared: SideBySide
    shape: Outline = field(repr=False)
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return {**json_fields(self, without=("shape", "doubts")), **told(self.doubts)}

    def summary(self):
        """The change in a sentence."""
        rows = {row["figure"]: row for row in self.compared.rows}
        inertia = rows["inertia_grip_kg_cm2"]
        of_first = {
            "difference": 100 * inertia["difference"] / inertia["first"],
            "low": 100 * inertia["low"] / inertia["first"],
            "high": 100 * inertia["high"] / inertia["first"],
        }
        return (
            f"{self.blade}, if it tapered from {self.from_mm:g} mm from the butt"
            f" to a thickness of {self.tip_mm:g} mm at the tip:"
            f" mass {_by(rows['mass_g'], 'g', 0)}, balance {_by(rows['balance_mm'], 'mm', 1)},"
            f" inertia about the grip {_by(of_first, '%', 0)},"
            f" percussion centre {_by(rows['percussion_mm'], 'mm', 1)}"
        )


def _by(row, unit, places):
    """A change with its interval: -32 (-35 to -30) g."""
    value, low, high = (f"{row[name]:+.{places}f}" for name in ("difference", "low", "high"))
    return f"{value} ({low} to {high}) {unit}"


CAUTIONS = (
    "Glasses or shield, apron, boots, a free swing and nobody in the plane of it.",
    "Look at tang, handle and edge before the first chop. Stop at a crack.",
)  # of a log without a protocol; common practice, no source


@dataclass(frozen=True)
class ChopResult:
    """The figures of a chop test with what they were worked out from.

    `limit` is the verdict by the protocol, a blade each; `design` says how blades took turns;
    `against` is the blade that somebody asked to hold the others against, None where nobody did.
    """

    title: str
    study: Study | None
    protocol: Protocol | None
    log: ChopLog
    report: ChopReport
    as_chopped: tuple[AsChopped, ...]
    reckoned: tuple[Reckoned, ...]
    events: tuple[dict, ...]
    pieces: tuple[Severing, ...]
    chops: tuple[MeasuredChop, ...]
    looks: tuple[Look, ...]
    growth: tuple[Growth, ...]
    handling: dict[str, Handling] = field(repr=False)
    outlines: dict[str, Outline] = field(repr=False)
    changes: tuple[Thinning, ...]
    limit: tuple[dict, ...]
    design: str
    doubts: tuple[Doubt, ...]
    against: str | None = None

    @property
    def blades(self):
        """The blades, those of the log first."""
        more = self.handling if self.study else ()
        return tuple(dict.fromkeys([*self.log.blades(), *more, *self.outlines]))

    @property
    def subjects(self):
        """The blades that a sheet is for: all but the control and what they are held against."""
        others = [name for name in self.blades if name != self.against]
        control = self.study.control if self.study else None
        return tuple(name for name in others if name != control) or tuple(others) or self.blades

    def tool(self, blade):
        """Swing of one blade, or None."""
        return next((tool for tool in self.report.tools if tool.blade == blade), None)

    def look(self, blade, when):
        """The look at a blade's edge before or after the test, or None."""
        return next((x for x in self.looks if (x.blade, x.when) == (blade, when)), None)

    @property
    def departures(self):
        """What was done otherwise than the protocol asks, of all tools."""
        return chop_departures(self.study, self.protocol, self.log)

    @property
    def cautions(self):
        """What to mind at the test: the protocol's words, the trade's where there is none."""
        return self.protocol.cautions if self.protocol else CAUTIONS

    def to_dict(self):
        """The JSON contract of `edgetest chop`."""
        return {
            "title": self.title,
            "invented": bool(self.study and self.study.invented),
            "protocol": self.protocol.id if self.protocol else None,
            "blades": list(self.blades),
            "control": self.study.control if self.study else None,
            "design": self.design,
            "as_chopped": for_json(self.as_chopped),
            "reckoned": for_json(self.reckoned),
            "events": for_json(self.events),
            **self.report.to_dict(),
            "pieces": for_json(self.pieces),
            "single_chops": for_json(self.chops),
            "looks": for_json(self.looks),
            "growth": for_json(self.growth),
            "limit": for_json(self.limit),
            "what_if": for_json(self.changes),
            "departures": for_json(self.departures),
            "cautions": list(self.cautions),
            **told(self.doubts),
        }

    def summary(self):
        """The figures as a maker would read them out."""
        lines = [self.title + (" (invented data)" if self.study and self.study.invented else "")]
        lines.append(self._turns())
        asked, notes = self._asked_and_notes()
        lines += [f"asked: {text}" for text in asked]
        lines += self._strokes()
        lines += [one.summary() for one in self.reckoned]
        lines += self._not_reckoned()
        lines += self._balances()
        lines += self._figures(notes)
        lines += told_misses(self.report, self.pieces)
        lines += told_looks(self.looks)
        lines += self._touched_up()
        grown = [chip_grown(self.log.rows, blade) for blade in self.blades]
        lines += [one.summary() for one in grown if one is not None]
        lines += refused_side_views(self.looks, self.log, self.study)
        lines += [f"{row['blade']}: {row['text']}" for row in self.limit]
        for change in self.changes:
            lines += [change.summary(), *(f"note: {one.text}" for one in change.doubts)]
        lines += [each.headed() for each in self.departures]
        lines += [f"note: {text}" for text in notes]
        return "\n".join(line for line in lines if line)

    def _touched_up(self):
        """After how many of its strokes each edge was touched up, as logged."""
        for blade in self.blades:
            if words := touched_up_after(self.log.rows, blade):
                yield f"{blade}: its {words}"

    def _strokes(self):
        """Strokes for each kind of piece; of a wood chopped green and dry it says which."""
        of_wood = Counter(wood for wood, _ in {(one.wood, one.green) for one in self.as_chopped})
        for one in self.as_chopped:
            told = one.summary(water=self._water(one) if of_wood[one.wood] > 1 else "")
            yield "; ".join(filter(None, [told, knots_in_mean(self.pieces, one)]))

    def _water(self, one):
        """Whether the wood of a figure was green or dry, where its rows say so."""
        told = {row.moisture_pct is not None for row in self.log.rows if row.line in one.rows}
        if True not in told:
            return "water not noted"
        return "green" if one.green else "dry" if told == {True} else "dry or water not noted"

    def ratio_lines(self, ratio):
        """Two tools' ratio as a maker reads it; without a verdict where pieces do not agree."""
        counts = self.report.counts
        overall, *rest = counts.ratio_lines(ratio) if counts else [ratio.summary()]
        differs = ("ratio_differs_by_piece", ratio.first, ratio.second)
        told = {(one.code, one.where.blade, one.where.other) for one in self.doubts}
        if differs in told and overall == ratio.summary():
            overall = f"{overall.partition('; ')[0]}; no one number holds for all pieces"
        return [overall, *rest]

    def tired_words(self):
        """What else than edges may have made strokes rise: a hand that missed more on one day."""
        if all(one.code != "misses_by_day" for one in self.doubts):
            return ""
        return " (near misses differ from day to day: a tired hand looks like this, too)"

    def _figures(self, notes):
        """The report's lines; right below a ratio what it leans on, taken out of the notes."""
        ratios = self.report.counts.ratios if self.report.counts else ()
        said = {one.summary(): self.ratio_lines(one)[0] for one in ratios}
        together = self.report.counts.dulling_words() if self.report.counts else ""
        for line in self.report.summary().splitlines():
            tired = self.tired_words() if together and line.startswith(together) else ""
            yield f"{said.get(line, line)}{tired}"
            for one in self.doubts:
                of = f"chops, {one.where.blade} over {one.where.other}:"
                if one.code in LEANING and line.startswith(of):
                    yield f"note: {one.text}"
                    if one.text in notes:
                        notes.remove(one.text)

    def _turns(self):
        """How the blades took turns, and which was first; "" for one blade alone."""
        if self.design != "in_turn":
            told = turns_words(self.log)
            return f"blades {told}" if told else ""
        missed = boards_missed(self.log) if self.pieces else ""
        first = first_told(self.log) if self.pieces else ""
        turns = f"blades in turn; no piece with {missed}" if missed else "all blades in turn"
        return f"{turns}; {first}" if first else turns

    def _not_reckoned(self):
        """The pieces asked for of which nothing follows, with the tools of which that is so."""
        found: dict[str, list[str]] = {}
        for one in self.doubts:
            if one.code in NOT_RECKONED and one.where.blade:
                found.setdefault(one.text, []).append(one.where.blade)
        return [f"{listed(tools)}: {text}" for text, tools in found.items()]

    def _balances(self):
        """Weight and balance point as typed, of tools of which no swing is known."""
        for name, held in self.handling.items():
            mass = f"mass {as_typed(held.mass_g, 'g')}" if held.mass_g is not None else ""
            told = ", ".join(part for part in (mass, held.balance_words()) if part)
            if told and self.tool(name) is None:
                yield f"{name}, as typed: {told}"

    def _asked_and_notes(self):
        """Sentences of the doubts, each once: those that ask about a number, and all others."""
        asked = {o.text: o.code in ASKED for o in self.doubts if o.code not in NOT_RECKONED}
        return [t for t, odd in asked.items() if odd], [t for t, odd in asked.items() if not odd]

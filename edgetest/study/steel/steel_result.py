"""The verdict on an unknown steel as a result: what to do, why, how sure, what to mind."""

from dataclasses import dataclass, field

from edgetest.doubts import Doubt, joined, told
from edgetest.estimate import chance
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hotter_harder import too_cool_words
from edgetest.steel.hours_through import PackHours
from edgetest.steel.moved_most import Moved
from edgetest.steel.steel_cautions import cautions_at, cautions_of_piece
from edgetest.steel.steel_decision import SteelDecision
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_tables import MIXED
from edgetest.steel.steel_titles import DONE_TITLES, EXPLANATION_TITLES, FAMILY_TITLES
from edgetest.steel.steel_words import ASK_OVEN
from edgetest.steel.survives import Survival
from edgetest.steel.told_chance import MIXED_LIKELY
from edgetest.steel.weigh_steel import SteelBelief, anything_seen
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.steel.blade_that_stood import temper_words
from edgetest.study.steel.blades_to_make import blades_words
from edgetest.study.steel.evidence_words import in_celsius_too
from edgetest.study.steel.failures_told import failures_told
from edgetest.study.steel.light_use_words import light_use_words
from edgetest.study.steel.of_the_lot import others_words, pieces_together
from edgetest.study.steel.pack_words import pack_lines
from edgetest.study.steel.places_seen import broken_told, with_places
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_lives import LifeRatio, life_against_reference
from edgetest.study.steel.steel_pack import Core, of_the_pack
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes
from edgetest.study.steel.use_unsaid import USE_UNSAID, asking_use
from edgetest.study.wear.wear_result import StudyResult
from edgetest.study.words import listed

SEEN_MIXED = 0.2  # chance of several steels from which a reader asks why it is no bar; our choice
LEAST_TOLD = 0.05  # a chance below is left out of sentences; JSON and pictures have all


@dataclass(frozen=True)
class PieceVerdict:
    """The next step with one piece, and what is believed of it."""

    piece: str | None
    belief: SteelBelief
    decision: SteelDecision

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "piece": self.piece,
            "action": self.decision.action,
            "way": self.decision.way,
            "title": self.decision.title,
            "family": self.decision.family,
            "chance_fit": self.decision.chance_told,
        }


@dataclass(frozen=True)
class ThoughtBefore:
    """What a piece of this origin is taken to be before any look, and on whose word."""

    origin: str
    source: str
    chances: dict[str, float]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "origin": self.origin,
            "source": self.source,
            "explanations": _listed(_ranked(self.chances, EXPLANATION_TITLES)),
        }

    def summary(self):
        """The likeliest of it in a sentence, with its source."""
        rows = _ranked(self.chances, EXPLANATION_TITLES)
        told = "; ".join(f"{title} {chance(p)}" for _, title, p in rows if p >= LEAST_TOLD)
        such = f"a piece such as this ({spaced(self.origin)})"
        name = "any piece" if self.origin == "unknown" else such
        return f"Thought of {name} before any look: {told} ({self.source})."


@dataclass(frozen=True)
class SteelResult:
    """The verdict on an unknown steel with all that it rests on.

    `noted` is all that was written down, `seen` what of it is weighed (see `SeenOfStudy`).
    `asked` is the piece that the headline speaks of, `others` the verdicts on the other pieces;
    `survival` says whether the headline stands while the numbers behind it change, None where
    that was not tried.
    """

    study: Study
    rows: SteelRows
    wishes: VerdictWishes
    seen: SteelSeen
    noted: SteelSeen
    asked: PieceVerdict
    others: tuple[PieceVerdict, ...]
    wanted_hrc: tuple[float, float]
    lives: tuple[LifeRatio, ...]
    analysis: StudyResult | None
    core: Core
    cases: tuple[tuple[str, CaseResult], ...]
    hours: PackHours | None
    doubts: tuple[Doubt, ...]
    protocol: Protocol | None = field(default=None, repr=False)
    survival: Survival | None = None
    moved: Moved | None = None
    before: ThoughtBefore | None = None

    @property
    def title(self):
        """What the study is called."""
        return self.study.title

    @property
    def action(self):
        """Code of what to do."""
        return self.asked.decision.action

    @property
    def begun(self):
        """Whether anything was entered that can be weighed."""
        return self.action != "first_step"

    @property
    def weighed(self):
        """Whether there are chances to show: something was seen of the piece itself."""
        return self.begun and self.asked.belief.chance_fit is not None

    @property
    def told(self):
        """Whether the chances may be told: there are some, and nothing seen speaks against them."""
        return self.weighed and not self.asked.decision.withheld

    def families(self):
        """(code, title, chance) of each family of use, likeliest first; none with nothing seen."""
        return _ranked(self.asked.belief.families, FAMILY_TITLES) if self.weighed else []

    def explanations(self):
        """(code, title, chance) of each explanation, likeliest first; none with nothing seen."""
        about = self.seen.asked(self.asked.piece)
        which = "the lot" if about is not None and about.lot else "the piece"
        titles = {**EXPLANATION_TITLES, MIXED: f"{EXPLANATION_TITLES[MIXED]} ({which})"}
        return _ranked(self.asked.belief.explanations, titles) if self.weighed else []

    def others_in_words(self):
        """For which pieces this holds, and the verdicts on the others, alike ones together."""
        more = (light_use_words(self), blades_words(self))
        return [*others_words(self), *filter(None, more)]

    def cautions(self):
        """What to mind at the step that is next and with a pack, each once; other pieces' last."""
        own = self.asked.decision.cautions
        piece = self.seen.asked(self.asked.piece)
        here = of_the_pack(self.rows.pack, self.seen, self.asked.piece)
        packed = cautions_at("carburise", piece) if here else ()
        others = pieces_together(
            (piece.id, f"{caution[:1].lower()}{caution[1:]}")
            for piece in self.seen.pieces
            if piece.id != self.asked.piece
            for caution in cautions_of_piece(piece)
            if caution not in (*own, *packed)
        )
        return tuple(dict.fromkeys((*own, *packed, *others)))

    def to_dict(self):
        """Plain values for JSON: the verdict, then what it rests on."""
        decision = self.asked.decision
        return {
            "study": self.title,
            "piece": self.asked.piece,
            "use": self.wishes.use,
            "wanted_hrc": list(self.wanted_hrc),
            "action": decision.action,
            "way": decision.way,
            "title": decision.title,
            **decision.meant(),
            "summary": self.summary(),
            "family": decision.family if self.weighed else None,
            "families": _listed(self.families()),
            "explanations": _listed(self.explanations()),
            "before": self.before.to_dict() if self.before and self.weighed else None,
            "heats": [heat.to_dict() for heat in self.heats()],
            "contradictions": [one.to_dict() for one in decision.unmended],
            "remarks": [one.to_dict() for one in decision.remarks],
            "next": decision.next_test.to_dict() if decision.next_test else None,
            "chance_fit": decision.chance_told if self.weighed else None,
            "chance_withheld": decision.withheld,
            "fit_between": decision.between(),
            "reasons": list(self.reasons()),
            "survives": self.survival.to_dict() if self.survival else None,
            "cautions": list(self.cautions()),
            "pieces": [each.to_dict() for each in (self.asked, *self.others)] * self.begun,
            "lives": [ratio.to_dict() for ratio in self.lives],
            "core": self.core.to_dict(),
            "cases": [{"section": name, **case.to_dict()} for name, case in self.cases],
            "hours": self.hours.to_dict() if self.hours else None,
            **told(self.all_doubts()),
        }

    def all_doubts(self):
        """Every doubt: of study, verdict and the edge's case, the gravest first."""
        of_case = self.cases[0][1].doubts if self.cases else ()
        return joined(self.doubts, self.asked.decision.doubts, of_case)

    def further_doubts(self):
        """Every doubt but what `broken_words` tells, and the question in the headline."""
        broken = {one.doubt for one in self.asked.decision.unmended}
        return [one for one in self.all_doubts() if one not in broken and one.code != USE_UNSAID]

    def summary(self):
        """The verdict as a maker reads it out."""
        said, piece = self.asked.decision.summary(), self.asked.piece
        said = said.replace(f" (piece {piece})", "", 1) if self.others else said
        said = f"Piece {piece}: {said[:1].lower()}{said[1:]}" if self.others else said
        return asking_use(said, self.doubts)

    def reasons(self):
        """Why, what the trial blades showed, and which temper came nearest to what is wanted."""
        lives = [life_against_reference(ratio) for ratio in self.lives]
        about, decision = self.asked.piece, self.asked.decision
        said = (*decision.reasons, *lives)
        failed = failures_told(self.noted, about, said)
        tempers = temper_words(self.seen, decision, about, self.wanted_hrc, self.rows.oven_checked)
        return (*said, *filter(None, [failed, tempers]))

    def further_reasons(self):
        """The reasons that the headline does not tell itself."""
        told = self.summary()
        return [reason for reason in self.reasons() if reason not in told]

    def likely_words(self):
        """The families and explanations that count, in a sentence each; none with nothing seen."""
        found = []
        for name, rows in (("Its kind", self.families()), ("It may be", self.explanations())):
            told = [f"{title} {chance(p)}" for _, title, p in rows if p >= LEAST_TOLD]
            found += [f"{name}: {'; '.join(told)}."] if told else []
        if self.before is not None and self.weighed:
            found.append(self.before.summary())
        return found

    def heats(self):
        """What is believed of each heat that was written down, not of one that a trial implies."""
        if not self.weighed:
            return []
        written = {(heat.piece, heat.coupon, heat.heat) for heat in self.seen.heats}
        return [
            heat for heat in self.asked.belief.heats
            if (heat.piece, heat.coupon, heat.heat) in written
        ]  # fmt: skip

    def heat_words(self):
        """What was done in each heat, as the evidence has it, a sentence each."""
        found = []
        for heat in self.heats():
            likely = sorted(heat.chances.items(), key=lambda each: -each[1])
            told = [f"{DONE_TITLES[code]} {chance(p)}" for code, p in likely if p >= LEAST_TOLD]
            name = f"Coupon {heat.coupon}, heat {heat.heat}"
            cool = too_cool_words(heat, self.seen, poor=self.asked.decision.too_poor)
            found.append(f"{name}, chance that the heat was: {'; '.join(told)}.{cool}")
        return found

    def sisters_words(self):
        """On which other pieces the chances rest too, though the heats are not told; "" on none."""
        about = self.seen.asked(self.asked.piece)
        if not self.weighed or about is None or about.lot is None:
            return ""
        sisters = [
            one.id for one in self.seen.pieces
            if one.lot == about.lot and one.id != about.id and anything_seen(self.seen, one)
        ]  # fmt: skip
        if not sisters:
            return ""
        return f"What was seen of {listed(sisters)}, of the same lot, counts too" + (
            f"; the heats told here are those of {about.id}." if self.heats() else "."
        )

    def moved_words(self):
        """What moved the likeliest explanation most; "" where no one thing did."""
        return self.moved.summary() if self.moved and self.told else ""

    def mixed_words(self):
        """Why a chance of several steels that is shown stops nothing; "" where it is small."""
        mixed = self.asked.belief.explanations.get(MIXED, 0.0) if self.told else 0.0
        if not SEEN_MIXED <= mixed <= MIXED_LIKELY:
            return ""
        return (
            f"The chance that it is not all one steel ({chance(mixed)}) is one of the whole lot; "
            f"it stops no step while it is no more than {chance(MIXED_LIKELY)}."
        )

    def _chances_in_words(self):
        """What it may be, what was done to it, and on what else the chances rest."""
        if not self.told:
            return []
        more = (self.mixed_words(), self.sisters_words(), self.asked.decision.heap_words())
        return [*self.likely_words(), self.moved_words(), *self.heat_words(), *more]

    def broken_words(self):
        """What does not fit together, each sentence once, with all the places it was seen in."""
        return broken_told(self.asked.decision.unmended)

    def doubt_lines(self, said=()):
        """The further doubts, those of codes in `said` left out, each with where it was seen."""
        remarks = [one.doubt for one in self.asked.decision.remarks]
        told = (one for one in self.further_doubts() if one.code not in said)
        return with_places(told, remarks)

    def next_words(self):
        """What to do next: the test that is named; "" where the step itself says it."""
        test = self.asked.decision.next_test
        said = test.summary() if test else ""
        return said if self.rows.oven_checked is None else said.replace(f" {ASK_OVEN}", "")

    def words(self):
        """What does not fit, the verdict, why, how sure, what is next, what to mind."""
        lines = [f"- {text}" for text in self.broken_words()]
        lines = ["This does not fit together:", *lines, ""] if lines else []
        lines += [self.summary(), "", *(f"- {line}" for line in self.further_reasons())]
        lines += [f"- {line}" for line in filter(None, self._chances_in_words())]
        low, high = self.wanted_hrc
        lines += [f"- Hardness wanted after the temper: {low:g} to {high:g} HRC."] * self.begun
        lines += [f"- {self.survival.summary()}"] if self.survival else []
        lines += [f"- {line}" for line in self.others_in_words()]
        lines += [f"- {line}" for line in pack_lines(self)]
        lines += [f"- {line}" for line in self.doubt_lines()]
        lines += ["", *filter(None, [self.next_words()])]
        lines += [f"Mind: {caution}" for caution in self.cautions()]
        return in_celsius_too("\n".join(lines))


def _ranked(chances, titles):
    """Codes with their titles and chances, likeliest first."""
    ranked = sorted(chances.items(), key=lambda each: -each[1])
    return [(code, titles[code], float(p)) for code, p in ranked]


def _listed(rows):
    """Rows of code, title and chance as JSON has them."""
    return [{"code": code, "title": title, "chance": p} for code, title, p in rows]

"""What is a decision on a piece: the step, its way, and all that it rests on?"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from edgetest.doubts import Doubt, told
from edgetest.estimate import chance as said_chance
from edgetest.steel.contradictions import Contradiction
from edgetest.steel.cooler_heat import AS_HOT
from edgetest.steel.soak_to_blame import UNLESS
from edgetest.steel.steel_words import ACTIONS, FAMILY_WORDS, WAYS, NextTest, TempersFirst
from edgetest.steel.tough_tried import ANOTHER_TEMPER, WHICH_TEMPER

AGAINST = ("leave", "buy_known", "light_use")
EDGES = ("hard_edge", "tough_edge")
COSTS = ("known_steel_hours", "blade_hours")
NEAR = 0.5  # of the likeliest kind's chance: from it the next is named beside it; our choice
TOLD_FROM = 0.1  # width of the chance by the heap from which it is told; our choice


@dataclass(frozen=True)
class SteelLosses:
    """Hours of work that a mistake costs: one trial blade, and known steel for each blade."""

    blade_hours: float = 8.0
    known_steel_hours: float = 2.0
    no_test: tuple[str, ...] = ()
    stated: tuple[str, ...] = ()  # which of the two hours are the maker's own
    tried: tuple[tuple[str, float], ...] = ()  # hours of a test or other work, tried as others
    blades_wanted: float | None = None  # of all pieces together; None where nobody wrote how many
    reused: frozenset[str] | None = None  # pieces to use; None till each is judged by itself

    @cached_property
    def asked(self) -> dict[str, float]:
        """Hours by name that a decision rested on so far, as they usually are."""
        return {}

    def hours_of(self, name: str, usual: float) -> float:
        """The hours of one test or other work: the usual ones, unless they are tried as others."""
        self.asked[name] = usual
        return dict(self.tried).get(name, usual)

    def with_hours(self, name: str, hours: float) -> "SteelLosses":
        """The same with other hours of one name."""
        if name == "known_steel_hours":
            return replace(self, known_steel_hours=hours)
        if name == "blade_hours":
            return replace(self, blade_hours=hours)
        return replace(self, tried=((name, hours),))


@dataclass(frozen=True)
class SteelDecision:
    """The step to take with a piece, and all that it rests on."""

    action: str
    way: str | None
    family: str
    chance_fit: float | None
    contradictions: tuple[Contradiction, ...]
    next_test: NextTest | None
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    tough_tried: bool
    doubts: tuple[Doubt, ...]
    use: str | None = None
    apart: str = ""  # that sister pieces disagree, in a sentence
    about: str = ""  # the piece or lot that is meant, in words
    of: tuple[str, int] | None = None  # coupon and heat that the step goes on with
    fit_between: tuple[float, float] | None = None  # the chance in a poor and in a good heap
    soak: str = ""  # that too short a soak may be the reason of a light use, and what would tell
    withheld: str = ""  # why no chance is told, where what was seen speaks against it
    tempers_first: TempersFirst | None = None  # the coupon that waits for its temper
    families: Mapping[str, float] = field(default_factory=dict)  # chance of each kind of use

    @property
    def unmended(self):
        """The contradictions without mere remarks, as a soft skin over a hard inside is one."""
        return tuple(one for one in self.contradictions if not one.remark)

    @property
    def remarks(self):
        """What differs as it should, and is told with how to go on."""
        return tuple(one for one in self.contradictions if one.remark)

    @property
    def too_poor(self):
        """Whether the piece is told to have too little carbon for an edge."""
        return self.action in ("leave", "carburise") and self.family == "case_only"

    @property
    def title(self):
        """The headline: what to do, and that toughness was never tried where it was not."""
        said = ACTIONS[self.action]
        if self.action == "heat_treat_again" and self.way:
            said = f"{said}: {self._way()}"
        if self.action in ("go_on", "safety_stop") and self.next_test:
            said = f"{said}: {self.next_test.title}"
        if self.action == "reuse" and self.about:
            said = f"{said} ({self.about})"
        said += UNLESS if self.soak else ""
        if self.of is not None:
            said = f"{said} (coupon {self.of[0]}, heat {self.of[1]})"
        untried = self.action in ("reuse_trial", "light_use") and not self.tough_tried
        return f"{said}; {self._untried()}" if untried else said

    def _untried(self):
        """That toughness was not tried, or not at a temper that anybody told."""
        codes = [one.code for one in self.doubts]
        if WHICH_TEMPER in codes:
            return "its toughness was tried, at which of its tempers is not said"
        return "its toughness was not tried" + " at the temper to take" * (ANOTHER_TEMPER in codes)

    def _way(self):
        """The way, without its usual step where the reason names the degrees to go to."""
        words = WAYS[self.way or ""]
        said = {"temper_hotter": "Temper hotter, up to the", "hotter": AS_HOT}.get(self.way or "")
        named = said is not None and any(said in reason for reason in self.reasons)
        return words.partition(",")[0] if named else words

    def summary(self):
        """The step as a maker reads it out."""
        parts = [f"{self.title}.", *filter(None, (self.apart, self.soak))]
        packed = self.action == "carburise"
        if packed:
            parts += self.reasons
        if self.withheld:
            return " ".join([*parts, self.withheld])
        if self.chance_fit is not None:
            how = "as it is, without packing" if packed else "treated rightly"
            good = f"a good {self.use.replace('_', ' ')}" if self.use else "a good blade"
            parts += [
                *self._likeness(),
                f"The chance that it makes {good}, {how}, is {said_chance(self.chance_fit)}"
                f"{self._by_heap()}.",
            ]
        return " ".join(parts)

    @property
    def chance_told(self):
        """The chance that may stand beside the headline; None where none may."""
        return None if self.withheld else self.chance_fit

    def between(self):
        """The chance in a poor and in a good heap; None where none is told."""
        return None if self.fit_between is None or self.withheld else list(self.fit_between)

    def apart_by_heap(self):
        """The chance in a poor and in a good heap, where the two lie apart; None elsewhere."""
        if self.fit_between is None or self.withheld:
            return None
        low, high = self.fit_between
        return (low, high) if high - low >= TOLD_FROM else None

    def _by_heap(self):
        """The same in words; "" where there is nothing to say."""
        apart = self.apart_by_heap()
        if apart is None:
            return ""
        low, high = apart
        return f" ({said_chance(low)} if your heap is poor, {said_chance(high)} if it is good)"

    def heap_words(self):
        """What a poor and a good heap are, or that they matter little; "" with no chance told."""
        if self.fit_between is None or self.withheld:
            return ""
        if not self._by_heap():
            return (
                "Were your heap a poor or a good one, that chance would hardly change: the two "
                f"lie less than {100 * TOLD_FROM:.0f} points apart."
            )
        return (
            "Your heap is the scrap that you pick from. In a poor one fewer pieces than usual make "
            "a blade, in a good one more: one heap in ten is poorer still, one in ten better."
        )

    def _likeness(self):
        """What the piece looks like; nothing where the step has answered that already."""
        if self.action == "carburise":
            return ()
        ended = self.action in AGAINST
        if (self.family in EDGES and ended) or (self.family == "sort_first" and self.apart):
            return ()  # said of the lot already, or no word beside a step that makes no edge
        if self.family != "unknown":
            return (self._kinds(),)
        used = ended or self.action == "reuse"  # a blade of it serves already
        return () if used else ("Which edges it serves best is not settled yet.",)

    def _kinds(self):
        """What kind it looks like, with its chance; the next beside it where that is near."""
        likely = sorted(self.families.items(), key=lambda each: -each[1])
        rest = [(code, p) for code, p in likely if code != self.family and code in FAMILY_WORDS]
        own = self.families.get(self.family)
        if own is None:
            return f"It looks like {FAMILY_WORDS[self.family]}."
        first = f"{FAMILY_WORDS[self.family]} ({said_chance(own)})"
        if not rest or rest[0][1] < NEAR * own:
            return f"It looks like {first}."
        code, p = rest[0]
        return f"It may be {first}, or {FAMILY_WORDS[code]} ({said_chance(p)})."

    def meant(self):
        """Which piece or lot, coupon and heat the step is about; for JSON."""
        coupon, heat = self.of or (None, None)
        return {"about": self.about, "coupon": coupon, "heat": heat}

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "action": self.action,
            "way": self.way,
            "title": self.title,
            **self.meant(),
            "summary": self.summary(),
            "family": self.family,
            "chance_fit": self.chance_told,
            "chance_withheld": self.withheld,
            "fit_between": self.between(),
            "contradictions": [one.to_dict() for one in self.unmended],
            "remarks": [one.to_dict() for one in self.remarks],
            "next": self.next_test.to_dict() if self.next_test else None,
            "reasons": list(self.reasons),
            "cautions": list(self.cautions),
            **told(self.doubts),
        }

"""Where does the work on a piece stand? Its heats from soft to hard, its temper, its trials."""

from dataclasses import dataclass
from functools import cached_property

from edgetest.steel.contradictions import Contradiction, contradictions
from edgetest.steel.fit_for_use import wanted_hrc
from edgetest.steel.heats_once import merged
from edgetest.steel.hotter_harder import not_the_coldest
from edgetest.steel.steel_seen import MEDIA, OLD_CRACK, HeatSeen, PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.surely import high_of, is_hard, is_soft, low_of, of_place, true_readings
from edgetest.steel.temper_softening import AS_QUENCHED_HRC
from edgetest.steel.tried_blades import tells_of_edge
from edgetest.steel.weigh_steel import SteelBelief

FAR_HRC = 5.0  # more than a temper step or two takes; common practice
TEMPER_LOSS_HRC = 3.0  # a low temper takes about so much; common practice


@dataclass(frozen=True)
class Situation:
    """All that the choice of the next step looks at, of one piece."""

    seen: SteelSeen
    piece: PieceSeen
    belief: SteelBelief
    tables: SteelTables

    @cached_property
    def heats(self) -> list[HeatSeen]:
        """The piece's own heats, each once, without carburised ones."""
        own = (h for h in self.seen.heats if h.piece == self.piece.id and not h.carburised)
        return merged(own)

    @cached_property
    def trials(self) -> list[TrialSeen]:
        """Trials of blades of the piece as it is, those of too little work left out."""
        own = (t for t in self.seen.trials if t.piece == self.piece.id and not t.carburised)
        return [trial for trial in own if tells_of_edge(trial)]

    @cached_property
    def sisters(self) -> set[str]:
        """The other pieces of its lot."""
        return {p.id for p in self.seen.pieces if p.lot and p.lot == self.piece.lot} - {
            self.piece.id
        }

    @property
    def sisters_quenched(self):
        """Those of them of which a coupon was quenched and read."""
        return self.sisters & {heat.piece for heat in self.seen.heats if heat.hardness}

    @property
    def sisters_unmended(self):
        """Those of which what was seen does not fit together."""
        found = self.tables.once("contradictions", lambda: contradictions(self.seen))
        return {one.piece for one in found if not one.remark} & self.sisters

    @property
    def came_out_apart(self):
        """Whether pieces treated alike came out hard and soft, and nothing explains it."""
        return any(one.code == "alike_differ" and not one.remark for one in self.contradictions)

    @property
    def sister_at_hand(self):
        """Whether not all that are left to quench are stopped from fire."""
        left = self.sisters - self.sisters_quenched
        free = [p for p in self.seen.pieces if p.id in left and not stopped(p)]
        return bool(free) or not left

    @cached_property
    def contradictions(self) -> tuple[Contradiction, ...]:
        """Those of this piece."""
        found = self.tables.once("contradictions", lambda: contradictions(self.seen))
        return tuple(one for one in found if self.piece.id in (one.piece, one.sister))

    def broken(self, code) -> Contradiction | None:
        """The first contradiction of a code that is about no packed heat: of the steel as it is."""
        plain = (c for c in self.contradictions if c.heat is None or not c.heat.carburised)
        return next((one for one in plain if one.code == code), None)

    def uncured(self, code) -> Contradiction | None:
        """The first of a code that the piece's last heat is part of: a later heat is its cure."""
        last = [(heat.coupon, heat.heat) for heat in self.heats[-1:]]
        return next(
            (
                one
                for one in self.contradictions
                if one.code == code
                and not one.remark
                and (not one.heats or any((h.coupon, h.heat) in last for h in one.heats))
            ),
            None,
        )

    @property
    def loose(self):
        """Whether the last reading as quenched was not made below the skin."""
        last = self.read[-1:]
        return bool(last) and not of_place(last[0].hardness, "below")

    @cached_property
    def read(self) -> list[HeatSeen]:
        """Heats with any reading as quenched."""
        return [heat for heat in self.heats if heat.hardness]

    @cached_property
    def hard(self) -> list[HeatSeen]:
        """Heats that came out hard where it counts."""
        return [heat for heat in self.read if any(map(is_hard, true_readings(heat.hardness)))]

    @cached_property
    def soft(self) -> list[HeatSeen]:
        """Heats that came out soft where it counts."""
        return [heat for heat in self.read if all(map(is_soft, true_readings(heat.hardness)))]

    @cached_property
    def best(self) -> HeatSeen | None:
        """The heat that shows most of what the steel can do: the last hard one, else the last.

        None that a hotter heat of the piece came out wholly harder than: that was too cool. A blade
        that broke at an old crack is gone.
        """
        whole = (heat for heat in self.hard if heat.fracture != OLD_CRACK)
        fine = not_the_coldest(heat for heat in whole if heat.grain != "coarse")
        tempered = [heat for heat in fine if _told(heat)]
        sound = [heat for heat in fine if not heat.cracked]
        ranked = tempered or sound or self.hard or self.read or self.heats
        return next(iter(ranked[-1:]), None)

    def chance_done(self, heat: HeatSeen, done):
        """What the mixture believes was done in a heat."""
        return self.belief.heat(heat).chances[done]

    def chance(self, *explanations):
        """Chance that the piece is one of some explanations."""
        return sum(self.belief.explanations[code] for code in explanations)

    @property
    def high_alloy(self):
        """Chance of a steel so rich in alloy that water would crack it."""
        return self.chance("air_hardening", "stainless_hardening")

    @cached_property
    def wanted(self):
        """Hardness wanted after the temper."""
        return wanted_hrc(self.seen)

    def temper_state(self, heat: HeatSeen):
        """How the hardness after its tempers stands to the wanted: one of four words.

        The temper for use is judged by its own reading; of a ladder the step that fits counts.
        """
        read = _told(heat)
        chosen = [temper for temper in read if temper.for_use][-1:] or read
        states = [self._state(true_readings(temper.hardness)) for temper in chosen]
        if not states or "within" in states:
            return "within" if states else "none"
        return states[0] if len(set(states)) == 1 else "between"

    def _state(self, readings):
        """Whether readings lie above, below or within the wanted hardness."""
        low, high = self.wanted
        if all(low_of(one) > high or _at(one, high) or _mostly(one, high) for one in readings):
            return "above"
        if all(high_of(one) < low or _at(one, low, top=True) for one in readings):
            return "below"
        return "within"

    def far_below(self, heat: HeatSeen):
        """Whether the only temper read left it more than a step or two too soft."""
        read = _told(heat)
        most = [max(map(high_of, true_readings(temper.hardness))) for temper in read]
        return len(read) == 1 and most[0] <= self.wanted[0] - FAR_HRC

    @property
    def loose_as_found(self):
        """Whether the piece was read as found, and never below the skin."""
        return bool(self.piece.hardness) and not of_place(self.piece.hardness, "below")

    def reaches(self, heat: HeatSeen):
        """Whether a heat as quenched leaves room for a low temper above the wanted hardness."""
        readings = true_readings(heat.hardness)
        return bool(readings) and max(map(high_of, readings)) >= self.wanted[0] + TEMPER_LOSS_HRC

    def fastest_soft(self):
        """The fastest medium in which it stayed soft or middling; None where none is told."""
        media = [heat.medium for heat in self.read if heat not in self.hard and heat.medium]
        return max(media, key=MEDIA.index, default=None)


def stopped(piece: PieceSeen):
    """Whether a coat, lead, a hollow or a load keeps a piece from heat and grinding."""
    coated = piece.coating not in (None, "none", "removed")
    leaded = piece.lead in ("suspected", "yes")
    return coated or leaded or bool(piece.closed_hollow) or bool(piece.loaded_spring)


def _told(heat):
    """Tempers of a heat that were read, and long enough to tell."""
    return [temper for temper in heat.tempers if temper.hardness and not temper.short]


def _at(reading, mark, *, top=False):
    """Whether a bracket only touches a mark from outside."""
    if reading.low_hrc == reading.high_hrc:
        return False
    return high_of(reading) <= mark if top else low_of(reading) >= mark


def _mostly(reading, mark):
    """Whether more than half of a bracket of files lies above a mark, an open one up to 66 HRC."""
    top = min(high_of(reading), AS_QUENCHED_HRC)
    return reading.by_files and low_of(reading) + top > 2 * mark

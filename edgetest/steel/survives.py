"""Does the headline survive, were any one number behind it half as large again or less?"""

from dataclasses import dataclass, replace

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import COSTS, SteelDecision, SteelLosses
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.table_words import number_said
from edgetest.steel.weigh_steel import weigh_steel

FACTORS = (1.5, 1 / 1.5)
# Sections that bear on the chance of being fit alone: it counts where blades or trials are told.
OF_FITNESS = ("tough", "forge", "life")
HOURS = "hours"  # the section that hours are told under; they stand in no table
FOR, AGAINST = ("reuse", "reuse_trial", "light_use"), ("leave", "carburise", "buy_known")
MOST_SAID = 4  # numbers named in the sentence; JSON has all


@dataclass(frozen=True)
class Survival:
    """In how many trials of the numbers the headline turned, and by which numbers.

    `turned` counts trials with another action, `reversed_` those from reuse to leave or back;
    `by` names section, row and word of each number as the file of the tables has them; of hours
    the section is `HOURS` and the word empty.
    """

    turned: int
    reversed_: int
    of: int
    by: tuple[tuple[str, str, str], ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "turned": self.turned,
            "reversed": self.reversed_,
            "of": self.of,
            "by": [" ".join(place).strip().replace("_", " ") for place in self.by],
        }

    def summary(self):
        """Whether the headline survives, as a maker reads it out."""
        if not self.of:
            return "No number in the tables affects this."
        many = self.of // len(FACTORS)
        tried = f"each of the {many} chances, figures and hours that it is reckoned from"
        if not self.turned:
            stands = f"The advice stands with {tried}"
            return f"{stands} half as large again, then a third smaller."
        said = list(dict.fromkeys(number_said(*place) for place in self.by))
        these = "this one" if len(said) == 1 else "these"
        more = len(said) - MOST_SAID
        rest = f"; and {more} more" if more > 0 else ""
        return (
            f"With {tried} half as large again, then a third smaller, the advice "
            f"changes in {self.turned} of {self.of} tries, by {these}: "
            f"{'; '.join(said[:MOST_SAID])}{rest}."
        )


def is_reversed(one, other):
    """Whether two actions are reuse and leave, either way round."""
    return (one in FOR and other in AGAINST) or (one in AGAINST and other in FOR)


def variants(seen: SteelSeen, tables: SteelTables, losses: SteelLosses, piece=None, progress=None):
    """The decision under each number that bears on it, times 1.5 and divided by 1.5.

    `progress`, a callable of (done, total), is told of each.

    Yields
    ------
    ((section, row, word), factor, SteelDecision)
    """
    asked = replace(tables, kept={})  # anew, so that every row asked for is told
    losses, belief = replace(losses), weigh_steel(seen, asked, piece=piece)
    decide(seen, belief, asked, losses)
    hours = _hours(seen, losses, piece)
    rows = sorted(asked.used | {("steels", row) for row in tables.numbers["steels"]})
    counts = bool(seen.trials) or any(piece.makes_blades for piece in seen.pieces)
    trials = [
        ((section, row, word), value, factor)
        for section, row in rows
        if counts or section not in OF_FITNESS
        for word, value in tables.numbers[section][row].items()
        for factor in FACTORS
    ]
    for number, (name, usual, factor) in enumerate(hours, 1):
        changed_hours = losses.with_hours(name, usual * factor)
        yield (HOURS, name, ""), factor, decide(seen, belief, asked, changed_hours)
        if progress is not None:
            progress(number, len(hours) + len(trials))
    for number, (place, value, factor) in enumerate(trials, 1 + len(hours)):
        changed = asked.with_number(*place, _kept_possible(place[-1], value, factor))
        yield place, factor, decide(seen, weigh_steel(seen, changed, piece=piece), changed, losses)
        if progress is not None:
            progress(number, len(hours) + len(trials))


def _hours(seen, losses, piece):
    """Name, hours and factor of each trial of hours: none where nobody told how many blades."""
    about = seen.asked(piece)
    if about is None:
        return []
    own = [p for p in seen.pieces if p is about or (about.lot and p.lot == about.lot)]
    if all(each.makes_blades is None for each in own):
        return []
    usual = {name: getattr(losses, name) for name in COSTS} | losses.asked
    return [(name, hours, factor) for name, hours in usual.items() for factor in FACTORS]


def _kept_possible(word, value, factor):
    """A number changed; a chance no larger than 0.99."""
    return min(value * factor, 0.99) if word == "chance" else value * factor


def survives(
    seen: SteelSeen,
    tables: SteelTables,
    losses: SteelLosses,
    piece: str | None = None,
    progress=None,
) -> Survival:
    """Try the headline under each number behind it alone, times 1.5 and divided by 1.5."""
    first: SteelDecision = decide(seen, weigh_steel(seen, tables, piece=piece), tables, losses)
    turned, reversed_, of = 0, 0, 0
    by: dict[tuple[str, str, str], None] = {}
    for place, _, found in variants(seen, tables, losses, piece, progress):
        of += 1
        if found.action != first.action:
            turned += 1
            reversed_ += is_reversed(found.action, first.action)
            by[place] = None
    return Survival(turned, reversed_, of, tuple(by))

"""Where was the test done otherwise than its protocol asks, and what follows from that?

The protocol is a wish; what was done stands in the log, the typed facts and the bench's record.
"""

from collections import defaultdict
from statistics import fmean

from edgetest.store.logs import LIFE
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.wear.begun_order import ORDER, order_departed
from edgetest.study.wear.departed_facts import ProtocolDeparture, edges_departed, limit_departed
from edgetest.study.wear.foreseen_departures import NO_CONTROL
from edgetest.study.wear.grading import below_the_grade, ladder_by
from edgetest.study.wear.photo_values import PHOTOGRAPHED
from edgetest.study.wear.places_departed import names_of, numbers_in_words, places_departed
from edgetest.study.wear.rolls_departed import rolls_departed
from edgetest.study.words import counted, listed

LOOKED_AT = (
    "stages",
    "stations",
    "readings and their repeats",
    "control blade",
    "roll of the medium",
    "edge angle and finish",
    "limit",
)
OF_CURVES = "Between the stages on either side the law carries the curve."
OF_GRADES = "A life that ended beside them is known less closely, and its ends say so."
UNDER_THE_SEAL = ("control blade", "edge angle and finish")  # nobody sees them before the end


def looked_at(study, protocol=None):
    """What log and facts can be held against: an order of the runs only where one was drawn.

    Nothing where the protocol is of chops: it says nothing of readings after cuts.
    """
    if protocol is not None and protocol.log == "chops":
        return ()
    seen = [each for each in LOOKED_AT if not (is_sealed(study) and each in UNDER_THE_SEAL)]
    return (*seen, ORDER) if (study.plan or {}).get("order") else tuple(seen)


def departures_of(study, protocol, log, readings=()) -> tuple[ProtocolDeparture, ...]:
    """Every difference between what the protocol asks and what log and facts say was done.

    Parameters
    ----------
    study : Study or None
    protocol : Protocol or None
    log : Log
    readings : sequence of UsedReading
        Of the study's own reading, as the fit met them, those of photographs too: a run that is
        past its limit was stopped as it should be. Without them only typed numbers tell.

    Returns
    -------
    tuple of ProtocolDeparture
        Empty where nothing departs, and where there is no protocol of cuts to depart from: what
        a protocol of chops asks for stands in chops.csv and is held against that.
    """
    if study is None or protocol is None or protocol.log == "chops":
        return ()
    rows = [row for row in log.rows if not row.waiting and not row.exclude]
    if rows and all(set(row.readings) == {LIFE} for row in rows):
        ran = {row.blade for row in rows}
        return (_lives_alone(protocol), *_control(study, rows, log),
                *edges_departed(study, protocol, ran))  # fmt: skip
    runs = defaultdict(list)
    for row in rows:
        if row.readings or row.photo:
            runs[row.block, row.blade].append(row)
    wish = f"“{protocol.medium.batch.partition('.')[0]}”"
    aside = _set_aside(log)
    return (
        *_stages(protocol, runs, PastLimit(study, protocol, readings), aside),
        *places_departed(protocol, runs, log),
        *_readings(protocol, runs, aside),
        *_control(study, rows, log),
        *rolls_departed(study, rows, runs, wish),
        *edges_departed(study, protocol, {blade for _, blade in runs}),
        *limit_departed(study, protocol),
        *order_departed(study, runs),
    )


def _set_aside(log):
    """The rows of each run that hold a reading or a photograph and were left out."""
    aside = defaultdict(list)
    for row in log.rows:
        if row.exclude and not row.waiting:
            aside[row.block, row.blade].append(row)
    return aside


def _lives_alone(protocol):
    return ProtocolDeparture(
        "stages",
        f"readings at {numbers_in_words(protocol.stages)} cuts",
        "only how long each blade lasted was noted",
        "How the edge wore on the way is not known.",
    )


class PastLimit:
    """Which runs' last stage lies past the limit: nothing was missed by stopping them.

    Parameters
    ----------
    study : Study
    protocol : Protocol
    readings : sequence of UsedReading
        See `departures_of`.
    """

    def __init__(self, study, protocol, readings=()):
        self.name, self.limit = study.reading_name, study.limit_value
        self.rule = next((each for each in protocol.readings if each.name == self.name), None)
        self.ladder = ladder_by(protocol, self.rule)
        self.seen = defaultdict(list)
        for each in readings:
            if not each.excluded:
                self.seen[each.block, each.blade, each.cuts].append(each.value)

    def of(self, run, rows, last):
        """Whether a run's last stage lies past the limit: its numbers on average, or each grade."""
        here = [row.readings[self.name] for row in rows
                if row.cuts == last and self.name in row.readings]  # fmt: skip
        if self.ladder:
            return below_the_grade([each.text for each in here], self.ladder, self.limit)
        if self.rule is None or not isinstance(self.limit, int | float):
            return False
        values = self.seen.get((*run, last)) or [each.value for each in here]
        numbers = [value for value in values if value is not None and value == value]
        if not numbers:
            return False
        middle = fmean(numbers)
        return middle < self.limit if self.rule.dulling == "falls" else middle > self.limit


def _stages(protocol, runs, past, aside):
    """Stages left out, added, and where a run was stopped; runs that did alike stand together.

    A stage that was read, and whose rows were left out, is told as that.
    """
    asked = set(protocol.stages)
    alike = defaultdict(list)
    for run, rows in runs.items():
        last = max(row.cuts for row in rows)
        goes_on = last >= max(asked) or past.of(run, rows, last)
        for kind, stages in _of_stages(asked, rows, aside[run], goes_on):
            if stages:
                alike[kind, tuple(sorted(stages))].append(run)
    wish = f"readings at {numbers_in_words(protocol.stages)} cuts"
    between = OF_GRADES if past.ladder else OF_CURVES
    words = {
        "missing": ("not read at {} cuts", between),
        "more": ("read at {} cuts too", "More readings than asked harm nothing."),
        "aside": ("read at {} cuts, and left out", between),
        "beyond": ("all beyond {} cuts left out", "Beyond that stage nothing counts."),
        "stopped": ("stopped at {} cuts", "Beyond that stage nothing was seen."),
    }
    for (kind, stages), those in sorted(alike.items()):
        done, means = words[kind]
        yield ProtocolDeparture(
            "stages",
            wish,
            f"{done.format(numbers_in_words(stages))}: {names_of(those, runs)}",
            means,
        )


def _of_stages(asked, rows, aside, goes_on):
    """What one run did otherwise than the stages that were asked, by kind."""
    cut = {row.cuts for row in rows}
    last = max(cut)
    read = {row.cuts for row in aside}
    missing = {stage for stage in asked - cut if stage < last}
    end = set() if goes_on else {last}
    return (
        ("missing", missing - read),
        ("aside", missing & read),
        ("more", cut - asked),
        ("beyond" if any(stage > last for stage in read) else "stopped", end),
    )


def _readings(protocol, runs, aside):
    """Readings never taken, left out at some stages, or taken fewer times than asked."""
    for rule in protocol.readings:
        times: dict[tuple, int] = defaultdict(int)
        for run, rows in runs.items():
            for row in rows:
                if rule.name in row.readings or (rule.name in PHOTOGRAPHED and row.photo):
                    times[run, row.cuts, row.station_mm if rule.at_stations else None] += 1
        if not times:
            yield ProtocolDeparture(
                "readings", rule.title, "never read", f"Nothing is said of the {rule.title}."
            )
        elif min(times.values()) < rule.repeats:
            few = sum(count < rule.repeats for count in times.values())
            yield ProtocolDeparture(
                "readings",
                f"{rule.title} {counted(rule.repeats, 'time')} a stage",
                f"fewer at {few} of {counted(len(times), 'place')}, "
                f"{counted(min(times.values()), 'time')} at the least",
                "Fewer readings scatter more; the interval holds that.",
            )
        if times:
            yield from _left_out(rule, runs, times, aside)


def _left_out(rule, runs, times, aside):
    """Stages at which a run was read otherwise, but not by this reading, be it left out or not."""
    alike = defaultdict(list)
    read = defaultdict(set)
    for run, cuts, _ in times:
        read[run].add(cuts)
    for run, rows in aside.items():
        read[run].update(
            row.cuts
            for row in rows
            if rule.name in row.readings or (rule.name in PHOTOGRAPHED and row.photo)
        )
    for run, rows in runs.items():
        missing = {row.cuts for row in rows} - read[run]
        if missing:
            alike[tuple(sorted(missing))].append(run)
    for stages, those in sorted(alike.items()):
        yield ProtocolDeparture(
            "readings", f"{rule.title} at every stage",
            f"not read at {numbers_in_words(stages)} cuts: {names_of(those, runs)}",
            f"There the {rule.title} is known from the stages on either side alone.",
        )  # fmt: skip


def _control(study, rows, log):
    """The control blade: not named, never run, or missing in blocks where none of it waits."""
    if is_sealed(study):
        return
    asked = "a control blade, run with the others"
    control = study.control or study.reference
    if control is None:
        yield NO_CONTROL
        return
    blocks = {row.block for row in rows} - {""}
    own = {row.block for row in rows if row.blade == control}
    due = {row.block for row in log.rows if row.blade == control and row.waiting}
    if not own and not due:
        yield ProtocolDeparture(
            "control blade", asked, f"{control} was named and never run",
            "What a roll, a board or a day did to all blades alike is not seen.",
        )  # fmt: skip
        return
    if without := sorted(blocks - own - due):
        yield ProtocolDeparture(
            "control blade", asked, f"{control} was not run in {listed(without)}",
            "What those blocks did to the lives cannot be told from it.",
        )  # fmt: skip

"""Where was the test done otherwise than its protocol asks, and what follows from that?

The protocol is a wish; what was done stands in the log, the typed facts and the bench's record.
"""

from collections import defaultdict
from dataclasses import asdict, dataclass

from edgetest.store.history import read_history
from edgetest.store.logs import LIFE
from edgetest.study.wear.photo_values import PHOTOGRAPHED
from edgetest.study.words import counted, listed

LOOKED_AT = (
    "stages",
    "stations",
    "readings and their repeats",
    "control blade",
    "batch of the medium",
    "edge angle and finish",
    "order of the runs",
)
ANGLE_DEG = 0.5  # included; a protractor reads no finer (common practice, no source)


@dataclass(frozen=True)
class ProtocolDeparture:
    """One thing that was done otherwise than asked, or that nobody noted."""

    of: str
    asked: str
    done: str
    means: str

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self)

    def summary(self):
        """The departure in a sentence or two."""
        return f"{self.of}: the protocol asks for {self.asked}; {self.done}. {self.means}"


def departures_of(study, protocol, log) -> tuple[ProtocolDeparture, ...]:
    """Every difference between what the protocol asks and what log and facts say was done.

    Parameters
    ----------
    study : Study or None
    protocol : Protocol or None
    log : Log

    Returns
    -------
    tuple of ProtocolDeparture
        Empty where nothing departs, and where there is no protocol to depart from.
    """
    if study is None or protocol is None:
        return ()
    rows = [row for row in log.rows if not row.waiting and not row.exclude]
    if rows and all(set(row.readings) == {LIFE} for row in rows):
        return (_lives_alone(protocol), *_control(study, protocol, rows), *_edge(study, protocol))
    runs = defaultdict(list)
    for row in rows:
        if row.readings or row.photo:
            runs[row.block, row.blade].append(row)
    return (
        *_stages(protocol, runs),
        *_stations(protocol, runs),
        *_readings(protocol, runs),
        *_control(study, protocol, rows),
        *_batch(protocol, rows),
        *_edge(study, protocol),
        *_order(study, runs),
    )


def _lives_alone(protocol):
    return ProtocolDeparture(
        "stages",
        f"readings at {_numbers(protocol.stages)} cuts",
        "only how long each blade lasted was noted",
        "How the edge wore on the way is not known.",
    )


def _names(those, runs):
    """Runs in words; a roll is named where the blade was cut in several."""
    if len(those) == len(runs) > 1:
        return "all runs"
    several = defaultdict(set)
    for block, blade in runs:
        several[blade].add(block)
    return listed(
        sorted(
            {blade if len(several[blade]) == 1 else f"{blade} ({block})" for block, blade in those}
        )
    )


def _numbers(values):
    return ", ".join(f"{value:g}" for value in values)


def _stages(protocol, runs):
    """Stages left out, added, and where a run was stopped; runs that did alike stand together."""
    asked = set(protocol.stages)
    alike = defaultdict(list)
    for run, rows in runs.items():
        cut = {row.cuts for row in rows}
        last = max(cut)
        missing = tuple(sorted(stage for stage in asked - cut if stage < last))
        more = tuple(sorted(cut - asked))
        stopped = last if last < max(asked) else None
        if missing:
            alike["missing", missing].append(run)
        if more:
            alike["more", more].append(run)
        if stopped is not None:
            alike["stopped", (stopped,)].append(run)
    wish = f"readings at {_numbers(protocol.stages)} cuts"
    words = {
        "missing": (
            "not read at {} cuts",
            "Between the stages on either side the law carries the curve.",
        ),
        "more": ("read at {} cuts too", "More readings than asked harm nothing."),
        "stopped": ("stopped at {} cuts", "Beyond that stage nothing was seen."),
    }
    for (kind, stages), those in sorted(alike.items()):
        done, means = words[kind]
        yield ProtocolDeparture(
            "stages", wish, f"{done.format(_numbers(stages))}: {_names(those, runs)}", means
        )


def _stations(protocol, runs):
    """Places along the edge that were not read, of readings that are taken at stations."""
    asked = set(protocol.stations_mm)
    if not asked or not any(rule.at_stations for rule in protocol.readings):
        return
    alike = defaultdict(list)
    for run, rows in runs.items():
        seen = {row.station_mm for row in rows if row.photo or _at_station(protocol, row)}
        if seen and asked - seen:
            alike[tuple(sorted(asked - seen))].append(run)
    for places, those in sorted(alike.items()):
        yield ProtocolDeparture(
            "stations",
            f"{_numbers(sorted(asked))} mm along the edge",
            f"nothing at {_numbers(places)} mm: {_names(those, runs)}",
            "How even the edge wore from heel to tip is known less well.",
        )


def _at_station(protocol, row):
    return any(rule.at_stations and rule.name in row.readings for rule in protocol.readings)


def _readings(protocol, runs):
    """Readings never taken, or fewer times a stage than asked."""
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


def _control(study, protocol, rows):
    """The control blade: not named, never run, or missing in some blocks."""
    asked = "a control blade, run with the others"
    control = study.control or study.reference
    if control is None:
        yield ProtocolDeparture(
            "control blade", asked, "none was named",
            "What a roll, a board or a day did to all blades alike is not seen.",
        )  # fmt: skip
        return
    blocks = {row.block for row in rows} - {""}
    own = {row.block for row in rows if row.blade == control}
    if not own:
        done = f"{control} was named and never run"
    elif blocks - own:
        done = f"{control} was not run in {listed(sorted(blocks - own))}"
    else:
        return
    yield ProtocolDeparture(
        "control blade", asked, done,
        "What those blocks did to the lives cannot be told from it.",
    )  # fmt: skip


def _batch(protocol, rows):
    """Whether anybody noted which roll, bundle or board was cut."""
    if rows and not any(row.block or row.batch for row in rows):
        yield ProtocolDeparture(
            "batch of the medium",
            protocol.medium.batch.partition(".")[0],
            "no roll, bundle or batch was noted",
            "A change of the medium cannot be told from a change of blade.",
        )


def _edge(study, protocol):
    """Edge angles that differ from the one asked, and what nobody noted of the edges."""
    asked = protocol.edge_preparation
    wish = asked.included_angle_deg
    if wish is not None:
        others = [
            f"{blade.id} {blade.angle_words()}"
            for blade in study.blades
            if blade.included_angle_deg is not None
            and abs(blade.included_angle_deg - wish) > ANGLE_DEG
        ]
        unknown = [blade.id for blade in study.blades if blade.included_angle_deg is None]
        said = f"{wish / 2:g}° per side ({wish:g}° included)"
        if others:
            yield ProtocolDeparture(
                "edge angle", said, "; ".join(others),
                "A wider or narrower wedge wears at another rate; lives at other angles differ.",
            )  # fmt: skip
        if unknown:
            yield ProtocolDeparture(
                "edge angle", said, f"not noted: {listed(unknown)}",
                "Whether those edges were ground alike is not known.",
            )  # fmt: skip
    blank = [blade.id for blade in study.blades if not blade.edge_finish]
    if blank:
        yield ProtocolDeparture(
            "edge finish", asked.finish, f"not noted: {listed(blank)}",
            "Whether those edges were finished alike is not known.",
        )  # fmt: skip


def _order(study, runs):
    """Runs that the bench's record shows in another order than was drawn."""
    drawn = [tuple(run) for run in (study.plan or {}).get("order", ())]
    if not drawn:
        return
    first: dict[tuple[str, str], int] = {}
    for number, change in enumerate(read_history(study.folder)):
        cells = change.after or {}
        run = (cells.get("block", ""), cells.get("blade", ""))
        if change.what == "append" and change.table == "log" and run in runs:
            first.setdefault(run, number)
    wish = "the runs in the order that was drawn for them"
    if any(run not in first for run in runs):
        yield ProtocolDeparture(
            "order of the runs", wish, "the record does not say in which order they were begun",
            "Whether the drawn order was kept is not known.",
        )  # fmt: skip
        return
    done = sorted(first, key=first.__getitem__)
    kept = [run for run in drawn if run in first]
    if done != kept:
        yield ProtocolDeparture(
            "order of the runs", wish, f"begun in this order: {'; '.join(map(_run, done))}",
            "What changed from run to run may stand behind a difference.",
        )  # fmt: skip


def _run(run):
    block, blade = run
    return f"{blade} ({block})" if block else blade

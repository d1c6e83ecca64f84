"""Which places along the edge were left out or added, against what the protocol asks?"""

from collections import defaultdict
from dataclasses import replace

from edgetest.study.wear.departed_facts import ProtocolDeparture
from edgetest.study.words import listed

NO_BLOCK = "block not noted"


def names_of(those, runs):
    """Runs in words; a roll is named where the blade was cut in several."""
    if len(those) == len(runs) > 1:
        return "all runs"
    several = defaultdict(set)
    for block, blade in runs:
        several[blade].add(block)
    named = {
        blade if len(several[blade]) == 1 else f"{blade} ({block or NO_BLOCK})"
        for block, blade in those
    }
    return listed(sorted(named))


def numbers_in_words(values):
    """Numbers in one line."""
    return ", ".join(f"{value:g}" for value in values)


def places_departed(protocol, runs, log):
    """Places along the edge that were not read, of readings that are taken at stations.

    A reading that was taken and set aside is no place left out: its row tells why.

    Parameters
    ----------
    protocol : Protocol
    runs : dict of (str, str) to list of LogRow
        Rows in use by block and blade.
    log : Log

    Yields
    ------
    ProtocolDeparture
    """
    asked = set(protocol.stations_mm)
    if not asked or not any(rule.at_stations for rule in protocol.readings):
        return
    names = {rule.name for rule in protocol.readings if rule.at_stations}
    ends_alone = _ends_alone(protocol)
    set_aside = _set_aside(log.rows)
    alike = defaultdict(list)
    short: dict[tuple[float, ...], dict[float, list]] = defaultdict(lambda: defaultdict(list))
    for run, rows in runs.items():
        shown = _rows_at_places(names, rows)
        for done in _of_run(protocol, asked, (rows, shown), set_aside[run]):
            alike[done].append(run)
        for cuts, missing in _short_stages(asked, shown, set_aside[run], ends_alone):
            short[missing][cuts].append(run)
    told = [(done, names_of(those, runs)) for done, those in alike.items()]
    told += [(f"nothing at {_millimetres(m)}", _at_stages(at, runs)) for m, at in short.items()]
    every = f"{_millimetres(asked)} along the edge"
    if ends_alone:
        every = f"{every}, at the first and the last stage at the least"
    for done, where in sorted(told):
        yield ProtocolDeparture(
            "stations",
            every,
            f"{done}{where}" if where.startswith(" at the") else f"{done}: {where}",
            "More readings than asked harm nothing."
            if done.endswith("too")
            else "How even the edge wore from heel to tip is known less well.",
        )


def _set_aside(rows):
    """The rows that were left out, by run."""
    out = defaultdict(list)
    for row in rows:
        if row.exclude:
            out[row.block, row.blade].append(row)
    return out


def _at_stages(at, runs):
    """The stages at which runs left out the same places, those of the same runs together."""
    of_runs = defaultdict(list)
    for cuts, those in sorted(at.items()):
        of_runs[names_of(those, runs)].append(cuts)
    parts = (
        f" at the stage{'s' * (len(cuts) > 1)} of {numbers_in_words(cuts)} cuts: {names}"
        for names, cuts in of_runs.items()
    )
    return ";".join(parts)


def _of_run(protocol, asked, run, set_aside):
    """What one run left out and added, in words; of a run that noted no place it read, nothing.

    Where nothing was read that is taken at places, those that other readings note count.
    """
    rows, shown = run
    seen = {row.station_mm for row in shown}
    noted = seen - {None}
    missing = asked - seen - {row.station_mm for row in set_aside}
    if seen and not noted:
        yield "no place noted"
    elif seen:
        yield from _left_out(protocol, missing, rows)
    if noted - asked:
        yield f"read at {_millimetres(noted - asked)} too"


def _short_stages(asked, shown, set_aside, ends_alone):
    """Stages at which one run left out places that it read at others, with these places."""
    at = defaultdict(set)
    for row in (*shown, *set_aside):
        at[row.cuts].add(row.station_mm)
    places = asked & {row.station_mm for row in shown}
    ends = {min(at, default=None), max(at, default=None)}
    for cuts, there in at.items():
        if (cuts in ends or not ends_alone) and places & there and places - there:
            yield cuts, tuple(sorted(places - there))


def _ends_alone(protocol):
    """Whether all places are asked for at the first and the last stage alone."""
    rules = (rule for rule in protocol.readings if rule.at_stations)
    return all(rule.all_stations_at == "first and last stage" for rule in rules)


def _rows_at_places(names, rows):
    """Rows of readings that are taken at places; where there are none, those that note one.

    Those of photographs too.
    """
    shown = [row for row in rows if row.photo or not names.isdisjoint(row.readings)]
    return shown or [row for row in rows if row.readings and row.station_mm is not None]


def _left_out(protocol, missing, rows):
    """Places that were left out; a reading that needs no place may stand there all the same."""
    there = missing & {row.station_mm for row in rows}
    if missing - there:
        yield f"nothing at {_millimetres(missing - there)}"
    if there:
        yield f"no {_read_at_places(protocol)} at {_millimetres(there)}"


def _millimetres(places):
    """Places along the edge, each with its unit: it is turned into another one by one."""
    return ", ".join(f"{place:g} mm" for place in sorted(places))


def _read_at_places(protocol):
    return " or ".join(rule.title for rule in protocol.readings if rule.at_stations)


def fit_of_places_asked(fit, protocol, reading):
    """The wear curves; of a reading that the protocol takes at no stations none asks for them.

    Where its places were noted all the same, a blade that was read at one alone keeps its doubt.

    Parameters
    ----------
    fit : StudyFit
    protocol : Protocol or None
        Without one nobody says where the reading is taken: every doubt stays.
    reading : str

    Returns
    -------
    StudyFit
    """
    rules = protocol.readings if protocol else ()
    if all(rule.at_stations for rule in rules if rule.name == reading):
        return fit
    return replace(fit, blades=tuple(map(_without_asking_places, fit.blades)))


def _without_asking_places(curve):
    if any(curve.station):  # a place that nobody named is ""
        return curve
    doubts = tuple(one for one in curve.doubts if one.code != "one_station")
    return replace(curve, doubts=doubts)

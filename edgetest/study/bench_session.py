"""What to do next at the bench: which blade, how many cuts to go, which readings are due.

A session is nothing but what is on disk: the log, the counted cuts (cuts.jsonl) and the
run order of the plan. Killed at any moment, it goes on where the last acknowledged tap or
reading left it.
"""

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from math import isnan
from pathlib import Path
from statistics import fmean

from edgetest.files import append_line, locked
from edgetest.study.measured import read_measured
from edgetest.study.readings import WIDTH

CUTS_FILE = "cuts.jsonl"


@dataclass(frozen=True)
class Due:
    """One reading that is due at a stage."""

    name: str
    title: str
    unit: str
    kind: str
    check: str
    station_mm: float | None = None
    check_no: int | None = None

    @property
    def where(self):
        """Station and number of the check, in words."""
        station = f"station {self.station_mm:g} mm" if self.station_mm is not None else ""
        number = f"check {self.check_no}" if self.check_no is not None else ""
        return ", ".join(part for part in (station, number) if part)


@dataclass(frozen=True)
class Action:
    """The next thing to do; `kind` is "cut", "read" or "done"."""

    kind: str
    blade: str = ""
    block: str = ""
    stage: int = 0
    cuts_done: int = 0
    due: tuple[Due, ...] = ()
    stages_left: int = 0

    @property
    def to_go(self):
        """Cuts until the stage."""
        return max(self.stage - self.cuts_done, 0)

    def summary(self):
        """The action as it is called out."""
        block = f" on {self.block}" if self.block else ""
        if self.kind == "cut":
            return f"Blade {self.blade}{block}, cut to {self.stage}: {self.to_go} to go"
        if self.kind == "read":
            return f"Blade {self.blade}{block}, read at {self.stage} cuts: {len(self.due)} due"
        return "All stages of all blades are done."


def run_order(source):
    """Runs as (block, blade), in the plan's order, else as the study lists its blades."""
    plan = source.study.plan or {}
    if plan.get("order"):
        return tuple((str(block), str(blade)) for block, blade in plan["order"])
    return tuple(("", blade.id) for blade in source.study.blades)


def read_cuts(folder):
    """Cuts counted at the bench, and the runs that were ended, by (block, blade).

    Returns
    -------
    (dict, set)
    """
    path = Path(folder) / CUTS_FILE
    counted, ended = {}, set()
    if not path.is_file():
        return counted, ended
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            entry = json.loads(line)
            run = (entry["block"], entry["blade"])
        except (ValueError, KeyError, TypeError):
            continue  # cut short by a crash, so it was never acknowledged
        counted[run] = counted.get(run, 0) + entry.get("cuts", 0)
        if "ended" in entry:
            (ended.add if entry["ended"] else ended.discard)(run)
    return counted, ended


def count_cuts(folder, blade, block, cuts, *, when=None):
    """Add cuts to a run's count (a negative number takes back); on disk on return."""
    _note(folder, {"blade": blade, "block": block, "cuts": int(cuts)}, when)


def end_run(folder, blade, block, *, ended=True, when=None):
    """End a run before its last stage, as a blade past its limit; or take that back."""
    _note(folder, {"blade": blade, "block": block, "ended": bool(ended)}, when)


def _note(folder, entry, when):
    entry["when"] = (when or datetime.now(UTC)).isoformat(timespec="seconds")
    with locked(folder):
        append_line(Path(folder) / CUTS_FILE, json.dumps(entry, ensure_ascii=False))


def next_action(source):
    """The first thing not done: stage by stage within a block, blades in the run order."""
    order = run_order(source)
    counted, ended = read_cuts(source.path)
    rows = _rows_by_run(source)
    refused = _refused(source.path)
    blocks = list(dict.fromkeys(block for block, _ in order))
    actions = []
    for block in blocks:
        runs = [run for run in order if run[0] == block and run not in ended]
        for stage in source.protocol.stages:
            for run in runs:
                action = _at_stage(source, run, stage, counted, rows, refused)
                if action is not None:
                    actions.append(action)
    if not actions:
        return Action("done")
    first = actions[0]
    return Action(
        first.kind, first.blade, first.block, first.stage, first.cuts_done, first.due, len(actions)
    )


def _rows_by_run(source):
    rows = {}
    for row in source.log.rows:
        rows.setdefault((row.block, row.blade), []).append(row)
    return rows


def _refused(folder):
    """Photographs that were measured and refused: their readings are still due."""
    known = read_measured(folder)
    return {name for name, row in known.items() if row["numbers"]["status"] == "refused"}


def _at_stage(source, run, stage, counted, rows, refused):
    """What a run still needs at a stage; None where nothing."""
    block, blade = run
    mine = rows.get(run, [])
    read_to = max((row.cuts for row in mine if row.readings or row.photo), default=0)
    done = max(counted.get(run, 0), read_to)
    if done < stage:
        return Action("cut", blade, block, stage, done)
    due = tuple(_due(source, mine, stage, refused))
    passed = read_to > stage  # a later stage has been read: what is missing here stays so
    return Action("read", blade, block, stage, done, due) if due and not passed else None


def _due(source, rows, stage, refused):
    here = [row for row in rows if row.cuts == stage]
    for rule in source.protocol.readings:
        stations = source.protocol.stations_mm if rule.at_stations else (None,)
        for station in stations:
            for number in range(1, rule.repeats + 1):
                check = number if rule.repeats > 1 else None
                if not any(_answers(row, rule, station, check, refused) for row in here):
                    yield Due(
                        rule.name, rule.title, rule.unit, rule.kind, rule.check, station, check
                    )


def _answers(row, rule, station, check, refused):
    """Whether a row holds the reading of a rule at a station (or a photograph of it)."""
    if row.station_mm != station or (row.check_no or 1) != (check or 1):
        return False
    if row.exclude or rule.name in row.readings:
        return True
    return rule.name == WIDTH and bool(row.photo) and row.photo not in refused


def past_limit(result, run):
    """Whether a run's readings at its last stage are, taken together, at the limit or beyond.

    Parameters
    ----------
    result : StudyResult
    run : str
        Name of the run, as in `result.fit`.
    """
    mine = [each for each in result.readings if each.run == run and not each.excluded]
    if not mine or isnan(result.limit):
        return False
    last = max(each.cuts for each in mine)
    values = [each.value for each in mine if each.cuts == last and not isnan(each.value)]
    if not values:
        return False
    return _worn(result) * (fmean(values) - result.limit) >= 0


def _worn(result):
    """+1 where the reading rises as the edge dulls, -1 where it falls."""
    for rule in result.protocol.readings if result.protocol else ():
        if rule.name == result.reading:
            return 1 if rule.dulling == "rises" else -1
    return 1

"""What to do next at the bench: which blade, how many cuts to go, which readings are due.

A session is nothing but what is on disk: the log, the taps (bench.jsonl) and the run
order of the plan. Killed at any moment, it goes on where the last acknowledged tap or
reading left it.
"""

from dataclasses import dataclass, replace

from edgetest.store.logs import LIFE
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.session_file import Session, Tap, read_session
from edgetest.study.photos.measured_table import read_measured
from edgetest.study.photos.photo_result import wants_scale
from edgetest.study.wear.photo_values import W30, WIDTH, reading_of_photo
from edgetest.units import as_typed

LEAST_PAST = 4  # stages behind the bench before a station that none read is not asked. Own choice


@dataclass(frozen=True)
class Due:
    """One reading that is due at a stage.

    `by_photo` where a photograph gives it, in the set-up of `set_up` ("" has no name).
    """

    name: str
    title: str
    unit: str
    kind: str
    check: str
    station_mm: float | None = None
    check_no: int | None = None
    by_photo: bool = False
    set_up: str = ""

    @property
    def place(self):
        """Station and reading: what a photograph of it is known by."""
        return self.station_mm, self.name

    @property
    def where(self):
        """Station and number of the check, in words."""
        at = self.station_mm
        station = f"station {as_typed(at, 'mm')}" if at is not None else ""
        number = f"check {self.check_no}" if self.check_no is not None else ""
        return ", ".join(part for part in (station, number) if part)

    @property
    def label(self):
        """The reading as its field is labelled."""
        unit = f" ({self.unit})" if self.unit else ""
        where = f", {self.where}" if self.where else ""
        return f"{self.title[:1].upper()}{self.title[1:]}{where}{unit}"


@dataclass(frozen=True)
class Action:
    """The next thing to do; `kind` is "cut", "read" or "done".

    `name` is what the screen calls the blade; `read_to` are the cuts that the log has of
    the run; `last_tap` is the tap that an undo would take back, None where readings stand
    on it; `stages_left` counts the stages of all runs that are not done.
    """

    kind: str
    blade: str = ""
    name: str = ""
    block: str = ""
    stage: int = 0
    cuts_done: int = 0
    read_to: int = 0
    due: tuple[Due, ...] = ()
    last_tap: Tap | None = None
    stages_left: int = 0

    @property
    def run(self):
        """Block and blade."""
        return self.block, self.blade

    @property
    def to_go(self):
        """Cuts until the stage."""
        return max(self.stage - self.cuts_done, 0)

    def summary(self):
        """The action as it is called out."""
        if self.kind == "done":
            return "All stages of all blades are done."
        blade = f"Blade {self.name}" + (f" on {self.block}" if self.block else "")
        if self.kind == "cut":
            return f"{blade}, cut to {self.stage}: {self.to_go} to go"
        when = f"read at {self.stage} cuts" if self.stage else "read the fresh edge"
        return f"{blade}, {when}: {len(self.due)} due"


@dataclass(frozen=True)
class Turn:
    """Where one run stands: `state` is "cut", "read", "done" or "ended"."""

    blade: str
    name: str
    block: str
    state: str
    cuts_done: int
    last_stage: int
    left_out: tuple[int, ...] = ()

    @property
    def run(self):
        """Block and blade."""
        return self.block, self.blade

    def label(self):
        """The run and where it stands."""
        block = f" on {self.block}" if self.block else ""
        words = {
            "cut": f"{self.cuts_done} of {self.last_stage} cuts",
            "read": f"{self.cuts_done} cuts, readings due",
            "done": "done",
            "ended": f"ended at {self.cuts_done} cuts",
        }[self.state]
        return f"{self.name}{block}: {words}"


def turns_in_order(source):
    """Runs as (block, blade), in the plan's order, else as the study lists its blades."""
    plan = source.study.plan or {}
    if plan.get("order"):
        return tuple((str(block), str(blade)) for block, blade in plan["order"])
    logged = dict.fromkeys((row.block, row.blade) for row in source.log.rows)
    blades = [blade.id for blade in source.study.blades]
    blocks = {blade: [b for b, name in logged if name == blade and b] for blade in blades}
    return tuple((block, blade) for blade in blades for block in blocks[blade] or [""])


def next_action(source, *, run=None):
    """The first thing not done: stage by stage within a block, blades in the run order.

    Parameters
    ----------
    source : Source
        A study with a protocol.
    run : (str, str), optional
        Only this block and blade: for a person who wants another one than the order's.

    Returns
    -------
    Action
    """
    state = _State(source)
    actions = [action for _, action in state.actions() if action is not None]
    mine = [action for action in actions if run is None or action.run == run]
    if not mine:
        return Action("done", stages_left=len(actions))
    return replace(mine[0], stages_left=len(actions))


def turns(source):
    """Where every run stands, in the run order.

    Returns
    -------
    tuple of Turn
    """
    state = _State(source)
    first: dict[tuple[str, str], Action] = {}
    for run, action in state.actions():
        if action is not None:
            first.setdefault(run, action)
    found = []
    for run in state.order:
        action, ended = first.get(run), run in state.session.ended
        kind = "ended" if ended else action.kind if action else "done"
        done = max(state.session.cuts(run), state.read_to(run))
        left_out = tuple(sorted(s for r, s in state.session.left_out if r == run))
        found.append(
            Turn(run[1], state.names[run[1]], run[0], kind, done, state.stages[-1], left_out)
        )
    return tuple(found)


class _State:
    """Log, taps and measurements of a study, gathered once to answer what is next."""

    def __init__(self, source):
        self.source = source
        self.order = turns_in_order(source)
        self.stages = source.protocol.stages
        self.session: Session = read_session(source.path)
        self.names = shown_names(source)
        self.refused = _refused(source.path)
        self.set_ups = set_ups_of(source.study)
        if typed_alone(source.study):
            self.set_ups = {name: of for name, of in self.set_ups.items() if name != WIDTH}
        self.rows: dict = {}
        for row in source.log.rows:
            self.rows.setdefault((row.block, row.blade), []).append(row)

    def read_to(self, run):
        """Cuts at the last stage that the log has of a run."""
        rows = self.rows.get(run, ())
        return max((row.cuts for row in rows if not row.waiting), default=0)

    def actions(self):
        """Every run and stage in the order of the bench, with what it still needs or None."""
        if LIFE in self.source.log.reading_names:
            return  # lives are noted in the log, not read at stages
        for block in dict.fromkeys(block for block, _ in self.order):
            runs = [run for run in self.order if run[0] == block and run not in self.session.ended]
            more = {run: self.session.read_at(run) for run in runs}
            for stage in sorted({*self.stages}.union(*more.values())):
                for run in runs:
                    if stage in self.stages or stage in more[run]:
                        yield run, self.at_stage(run, stage)

    def at_stage(self, run, stage):
        """What a run still needs at a stage; None where nothing."""
        read_to = self.read_to(run)
        done = max(self.session.cuts(run), read_to)
        tap = self.session.last_tap(run)
        tap = tap if tap is not None and tap.met >= read_to else None
        known = dict(
            blade=run[1],
            name=self.names[run[1]],
            block=run[0],
            stage=stage,
            cuts_done=done,
            read_to=read_to,
            last_tap=tap,
        )
        if done < stage:
            return Action("cut", **known)
        if read_to > stage or (run, stage) in self.session.left_out:
            return None  # a later stage has been read, or a person let it go: it stays missing
        due = tuple(self.due(run, stage))
        return Action("read", due=due, **known) if due else None

    def taken(self, rule):
        """Whether the study takes a reading: a log under way without its column does not."""
        under_way = any(not row.waiting for rows in self.rows.values() for row in rows)
        columns = self.source.log.columns
        seen = rule.name in self.set_ups and "photo" in columns
        return not under_way or rule.name in columns or seen

    def due(self, run, stage):
        """Readings of the protocol that the log does not have of a run at a stage."""
        here = [row for row in self.rows.get(run, ()) if row.cuts == stage]
        typed = typed_alone(self.source.study)
        protocol = self.source.protocol
        for rule in protocol.readings:
            if not self.taken(rule):
                continue
            for station in self.stations(rule):
                for number in range(1, rule.repeats + 1):
                    check = number if rule.repeats > 1 else None
                    if not any(self._answers(row, rule, station, check) for row in here):
                        how = "" if typed and rule.name == WIDTH else rule.check
                        yield Due(
                            rule.name, rule.title, rule.unit, rule.kind, how, station, check,
                            rule.name in self.set_ups, self.set_ups.get(rule.name, ""),
                        )  # fmt: skip

    def stations(self, rule):
        """Places at which a reading is due: not those that no stage of a log under way has read."""
        asked = self.source.protocol.stations_mm
        if not rule.at_stations:
            return (None,)
        read = [
            (row, run)
            for run, rows in self.rows.items()
            for row in rows
            if rule.name in row.readings or row.photo
        ]
        past = {(run, row.cuts) for row, run in read if row.cuts < self.read_to(run)}
        seen = {row.station_mm for row, _ in read}
        if len(past) < LEAST_PAST:
            return asked
        return tuple(station for station in asked if station in seen) or asked

    def _answers(self, row, rule, station, check):
        """Whether a row holds the reading of a rule at a station (or a photograph of it)."""
        if row.station_mm != station or (row.check_no or 1) != (check or 1):
            return False
        if rule.name in row.readings:
            return True
        seen = row.photo and row.photo not in self.refused
        return bool(seen) and rule.name == reading_of_photo(self.source.study, row)


def typed_alone(study):
    """Whether edge widths are typed and no photograph is to give one: then none is asked for."""
    return study.edge_width_from == "log" and study.scale is None and not study.scales


def set_ups_of(study):
    """The set-up in which each reading that photographs give is taken, by the reading.

    Parameters
    ----------
    study : Study

    Returns
    -------
    dict of str to str
        Name of the set-up, "" the one without a name; of several the last is the newest. Edge
        widths are photographed in the one without a name, too, where none is declared.
    """
    rules = {"": study.scale, **study.scales}
    kinds = {
        name: W30 if rule is not None and rule.between_lamps else WIDTH
        for name, rule in rules.items()
    }
    found = {kind: name for name, kind in kinds.items() if kind == W30}
    lines = [name for name, kind in kinds.items() if kind == WIDTH]
    return found | ({WIDTH: lines[0]} if lines else {})


def _refused(folder):
    """Photographs that were refused for what they show: their readings are still due."""
    known = {name: row["numbers"] for name, row in read_measured(folder).items()}
    refused = {name for name, numbers in known.items() if numbers["status"] == "refused"}
    return {name for name in refused if not wants_scale(known[name])}

"""Where can a picture of the tray go: blade, stage and station, in the order of the plan?"""

from dataclasses import dataclass

from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.next_action import Action, Due, set_ups_of, turns_in_order
from edgetest.study.bench.session_file import read_session
from edgetest.study.sources import cell_of
from edgetest.study.wear.photo_values import reading_of_photo
from edgetest.units import as_typed


@dataclass(frozen=True)
class SortPlace:
    """One photograph that the plan asks for, and what the log has there.

    Attributes
    ----------
    action : Action
        Blade, block and stage.
    due : Due
        Station, and the reading that the photograph gives.
    photo : str
        The photograph that stands there; "" for none.
    typed : str
        A reading that was typed there; "" for none.
    """

    action: Action
    due: Due
    photo: str = ""
    typed: str = ""

    @property
    def free(self):
        """Whether neither a photograph nor a reading stands there."""
        return not (self.photo or self.typed)

    @property
    def key(self):
        """What tells one place from another."""
        return (*self.action.run, self.action.stage, *self.due.place, self.due.check_no)

    @property
    def run_words(self):
        """The blade, by what the screen calls it, and its roll or board."""
        return self.action.name + (f", {self.action.block}" if self.action.block else "")

    @property
    def stage_words(self):
        """The stage in words."""
        return f"{self.action.stage} cuts" if self.action.stage else "fresh edge"

    @property
    def station_words(self):
        """The station in words."""
        where = as_typed(self.due.station_mm, "mm") if self.due.station_mm is not None else "edge"
        number = f", check {self.due.check_no}" if self.due.check_no is not None else ""
        lamps = " between two lamps" if self.due.name == "w30_um" else ""
        return f"{where}{number}{lamps}"

    @property
    def words(self):
        """The place as it is read out."""
        return " · ".join((self.run_words, self.stage_words, self.station_words))


def places_of(source):
    """Every photograph that plan and protocol ask for, in the order of the bench.

    Parameters
    ----------
    source : Source

    Returns
    -------
    tuple of SortPlace
        Block by block, stage by stage, blades in the run order, stations as the protocol lists
        them; without runs that were ended and stages that were let go, unless a picture is there.
    """
    protocol = source.protocol
    if protocol is None or protocol.log != "log":
        return ()
    order, names, session = turns_in_order(source), shown_names(source), read_session(source.path)
    set_ups, held = set_ups_of(source.study), _held(source)
    found = []
    for block in dict.fromkeys(block for block, _ in order):
        runs = [run for run in order if run[0] == block]
        for stage in protocol.stages:
            for run in runs:
                action = Action("read", run[1], names[run[1]], run[0], stage)
                gone = run in session.ended or (run, stage) in session.left_out
                for due in _dues(protocol, set_ups):
                    key = (*run, stage, due.station_mm, due.check_no or 1, due.name)
                    photo, typed = held.get(key, ("", ""))
                    if photo or typed or not gone:
                        found.append(SortPlace(action, due, photo, typed))
    return tuple(found)


def as_planned(places, count, *, after=None):
    """The next free places, one a picture.

    Parameters
    ----------
    places : sequence of SortPlace
    count : int
        Pictures.
    after : tuple, optional
        Key of the place behind which to begin; from the start where none is left there.

    Returns
    -------
    tuple of SortPlace
        Fewer than `count` where no more are free.
    """
    keys = [place.key for place in places]
    first = keys.index(after) + 1 if after in keys else 0
    free = [place for place in places[first:] if place.free]
    if not free and first:
        free = [place for place in places if place.free]
    return tuple(free[:count])


def _dues(protocol, set_ups):
    """The readings of a stage that photographs give, station by station."""
    rules = [rule for rule in protocol.readings if rule.name in set_ups]
    stations = dict.fromkeys(
        station
        for rule in rules
        for station in (protocol.stations_mm if rule.at_stations else (None,))
    )
    for station in stations:
        for rule in rules:
            if station not in (protocol.stations_mm if rule.at_stations else (None,)):
                continue
            for number in range(1, rule.repeats + 1):
                check = number if rule.repeats > 1 else None
                yield Due(
                    rule.name, rule.title, rule.unit, rule.kind, rule.check, station, check,
                    True, set_ups[rule.name],
                )  # fmt: skip


def _held(source):
    """Photograph and typed reading of every place of the log."""
    held: dict[tuple, tuple[str, str]] = {}
    for row in source.log.rows:
        if row.exclude:
            continue
        seen = reading_of_photo(source.study, row) if row.photo else None
        place = (row.block, row.blade, row.cuts, row.station_mm, row.check_no or 1)
        for name in {*row.readings, *([seen] if seen else [])}:
            photo, typed = held.get((*place, name), ("", ""))
            cell = row.readings.get(name)
            held[(*place, name)] = (
                photo or (row.photo if name == seen else ""),
                typed or (str(cell_of(cell)) if cell is not None else ""),
            )
    return held

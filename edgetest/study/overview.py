"""What a study or a log holds, and everything that is wrong with it."""

from collections import defaultdict
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from edgetest.errors import UnusableInput, each_fact_once
from edgetest.store.chop_log import read_chops
from edgetest.store.document_wishes import document_faults
from edgetest.store.logs import LIFE
from edgetest.store.records import REPEATS_FILE, STUDY_FILE
from edgetest.store.workspace import log_path
from edgetest.study.asked_about import asked_about, missing_photographs
from edgetest.study.chop.board_words import with_board_words
from edgetest.study.chop.boards_told import boards_told
from edgetest.study.chop.chop_departures import chop_departures
from edgetest.study.rows_to_fill import rows_to_fill
from edgetest.study.sources import cell_of
from edgetest.study.steel.steel_rows import steel_faults
from edgetest.study.wear.begun_order import order_mended
from edgetest.study.wear.departed_facts import ProtocolDeparture
from edgetest.study.wear.left_out_rows import by_blade, mishaps_told, row_lines
from edgetest.study.wear.protocol_departures import departures_of
from edgetest.study.wear.study_photos import needle_faults
from edgetest.study.words import counted, listed

CHOPS_WAIT = (
    "where the chopping differs from the protocol is listed here once every row of it is filled"
    " in; `edgetest chop` lists it for the rows so far"
)

FEW = 5  # rows that wait and are named each
WAITS = (
    "still to fill in: {which}; of one that was never taken, write why into its `exclude`, and it "
    "waits for nothing"
)
NO_FAULTS = (
    "different from the protocol, or added to it; these are not faults, and the document lists "
    "them:"
)


@dataclass(frozen=True)
class Overview:
    """Counts, facts and faults of a source."""

    title: str
    protocol: str
    rows: int
    blades: tuple[dict, ...]
    readings: tuple[str, ...]
    photos: int
    photos_missing: tuple[str, ...]
    excluded: tuple[dict, ...]
    faults: tuple[dict, ...]
    invented: bool = False
    chop_rows: int = 0
    waiting: int = 0
    waits: tuple[str, ...] = ()  # the rows that wait, where they are few
    departures: tuple[dict, ...] = ()  # from the protocol, of what was read so far
    same_pictures: tuple[str, ...] = ()
    asked: tuple[dict, ...] = ()  # what can be read, but is hardly meant: place, what, mend
    left_out: tuple[str, ...] = ()  # `excluded` in words, once a blade and reason
    mishaps: tuple[str, ...] = ()  # of rows that count, once a blade and wording
    mishaps_idle: tuple[str, ...] = ()  # those behind which no reading counts
    steel_alone: bool = False  # a study of found steel with no row of cutting or chopping
    departures_wait: bool = False  # those of a chop test are told once no row of it waits
    boards: tuple[str, ...] = ()  # pieces and strokes of each board, tool beside tool
    unread: tuple[str, ...] = ()  # logs that wait for the faults of study.toml to be mended
    opened: bool = True  # not where study.toml cannot be read: nothing was counted then

    def to_dict(self):
        """Plain values for JSON."""
        values = {name: getattr(self, name) for name in self.__dataclass_fields__}
        del values["opened"]
        return {k: list(v) if isinstance(v, tuple) else v for k, v in values.items()}

    def summary(self):
        """The overview as lines of text."""
        lines = [self.title + (" (invented data)" if self.invented else "")]
        lines += [f"protocol: {self.protocol}"] if self.protocol else []
        lines += [f"fault: {each['where']}: {each['what']}; {each['mend']}" for each in self.faults]
        lines += [] if self.steel_alone or not self.opened else self._counts()
        lines += [f"{name}: is read once those are mended" for name in self.unread]
        lines += [
            "found steel alone: `edgetest verdict` says what does not fit and what is next"
        ] * self.steel_alone
        lines += [*map(self._blade_words, self.blades)]
        lines += self._board_words()
        lines += row_lines(self.left_out, self.mishaps, self.mishaps_idle)
        lines += [f"photograph missing: {name}" for name in self.photos_missing]
        lines += self._departed_words() if self.departures else ()
        lines += [CHOPS_WAIT] * self.departures_wait
        lines += [f"doubt: {words}" for words in self.same_pictures]
        lines += [f"asked: {each['where']}: {each['what']}; {each['mend']}" for each in self.asked]
        count = len(self.faults)
        found = f"{counted(count, 'fault')}" if count else "No fault found"
        asked = f"; {counted(len(self.asked), 'question')} above, marked asked."
        lines.append(f"{found}{asked}" if self.asked else f"{found}.")
        return "\n".join(lines)

    def _board_words(self):
        """What each tool took on each board."""
        head = ["strokes of each board, with the size of each piece:"] * bool(self.boards)
        return [*head, *(f"  {words}" for words in self.boards)]

    def _departed_words(self):
        """Each departure from the protocol, under words that say that none is a fault."""
        if self.waiting:
            still = counted(self.waiting, "row still waits", "rows still wait")
            yield f"{still} to be filled in; of what was read so far:"
        yield NO_FAULTS
        for each in self.departures:
            yield f"  {ProtocolDeparture(**each).told()}"
        yield from (f"  {words}" for words in order_mended(self.departures))

    def _counts(self):
        """What the cut log and the chop log hold, a line each."""
        # A cell or a column that is not understood looks as if it were to be filled in still.
        told_of = self.waiting and not self.faults
        wait = f" ({self.waiting} of them still to fill in)" if told_of else ""
        told, photos = counted(len(self.blades), "blade"), counted(self.photos, "photograph")
        if self.rows or not (self.chop_rows or self.waiting):
            readings = ", ".join(self.readings) or "from photographs"
            yield f"{counted(self.rows, 'row')}{wait}, {told}, readings: {readings}, {photos}"
        if self.chop_rows or (self.waiting and not self.rows):
            rows = self.chop_rows if self.rows else self.chop_rows + self.waiting
            wait = "" if self.rows else wait
            yield f"{counted(rows, 'row')} of chopping{wait}, {told}, {photos}"
        if self.waits and told_of:
            yield WAITS.format(which=listed(self.waits))

    def _blade_words(self, blade):
        """A blade with its facts and how far it was cut, in a line."""
        what = "stages" if self.rows else "rows:"
        what = "life" if LIFE in self.readings else what
        stages = f"{what} {blade['stages']}" if blade["stages"] else "no reading yet"
        facts = (blade["heat_treatment"], blade["angle"], blade["hardness"], stages)
        return f"  {blade['blade']}: " + ", ".join(fact for fact in facts if fact)


def overview(source):
    """The overview of a source.

    Parameters
    ----------
    source : Source
        From `edgetest.study.sources.open_source`.

    Returns
    -------
    Overview
    """
    chops = source.chops
    rows = (*source.log.rows, *(chops.rows if chops else ()))
    photos = list(dict.fromkeys(row.photo for row in rows if row.photo))
    missing = tuple(name for name in photos if not (source.photos_folder / name).is_file())
    excluded = tuple(
        {"row": row.line, "blade": row.blade, "reason": row.exclude} for row in rows if row.exclude
    )
    study, wait, alone = source.study, rows_to_fill(source), steel_alone(source)
    wrong = (
        *source.faults, *needle_faults(source), *_chop_faults(chops, study), *steel_faults(study),
        *document_faults(study), *_repeats_faults(source),
    )  # fmt: skip
    faults = _listed(each_fact_once(wrong))
    mishaps, idle = mishaps_told(rows)
    return Overview(
        title=source.title,
        protocol=_protocol_words(source, alone),
        rows=len(source.log.rows),
        blades=tuple(_blades(source)),
        readings=source.log.reading_names,
        photos=len(photos),
        photos_missing=missing,
        excluded=excluded,
        faults=faults,
        invented=bool(source.study and source.study.invented),
        chop_rows=len(_done(chops)),
        waiting=len(wait),
        waits=tuple(f"row {row.line} ({row.blade})" for row in wait) if len(wait) <= FEW else (),
        departures=() if faults else _departed(source),  # part of it would be the faults' own
        same_pictures=_same_pictures(source),
        asked=_listed((*asked_about(source), *missing_photographs(source))),
        left_out=tuple(by_blade(rows, "exclude", kept=False)),
        mishaps=mishaps,
        mishaps_idle=idle,
        steel_alone=alone,
        departures_wait=not faults and _chops_wait(source),
        boards=boards_told(chops.rows) if chops else (),
    )


def _chops_wait(source):
    """Whether some of a chop test is done and some is still to be."""
    return bool(_done(source.chops)) and _waits(source.chops) and source.protocol is not None


def _departed(source):
    """What departs from the protocol in what was read; of a chop test once no row waits."""
    found: tuple = ()
    if any(not row.waiting for row in source.log.rows):
        found = departures_of(source.study, source.protocol, source.log)
    chops = source.chops
    if chops and chops.rows and not _waits(chops):
        found = (*found, *chop_departures(source.study, source.protocol, with_board_words(chops)))
    return tuple(each.to_dict() for each in found)


def _waits(chops):
    """Whether a row of the chop test is still to be filled in; a photograph alone fills a look."""
    return any(row.waiting and not row.photo and not row.exclude for row in chops.rows)


def _same_pictures(source):
    """Rows that show one and the same picture, a sentence each; no picture is read for none."""
    logs = (source.log.rows, source.chops.rows if source.chops else ())
    if not any(row.photo for rows in logs for row in rows):
        return ()
    from edgetest.study.photos.same_pictures import same_pictures

    found = (same_pictures(rows, source.photos_folder) for rows in logs)
    return tuple(one.text for some in found for one, _ in some)


def steel_alone(source):
    """Whether a study judges found steel and holds no row of cutting or chopping yet."""
    study, chops = source.study, source.chops
    rows = len(source.log.rows) + (len(chops.rows) if chops else 0)
    return bool(study and study.of_steel and not rows)


def _protocol_words(source, alone):
    """What the protocol is called; "" where there is none, or found steel alone."""
    return source.protocol.title if source.protocol and not alone else ""


def overview_of_faults(path, faults):
    """The overview of a study whose study.toml or protocol cannot be read: its faults alone.

    Of its logs that of chops needs neither, so what is wrong with its cells is told with them.
    """
    place = Path(path)
    folder = place.parent if place.name == STUDY_FILE else place
    of_chops: list[UnusableInput] = []
    unread: list[str] = []
    for table in ("log", "chops"):
        with suppress(UnusableInput):  # two logs of one kind: told once study.toml can be read
            file = log_path(folder, table)
            if file is not None and table == "chops":
                of_chops += read_chops(file).faults
            elif file is not None:
                unread.append(file.name)
    every = _listed(each_fact_once((*faults.faults, *of_chops)))
    return Overview(str(path), "", 0, (), (), 0, (), (), every, unread=tuple(unread), opened=False)


def _listed(faults):
    """Faults or questions as plain values."""
    return tuple({"where": f.where, "what": f.what, "mend": f.mend} for f in faults)


def _repeats_faults(source):
    """Faults of the repeatability that is kept with a study."""
    if source.study is None or not (source.path / REPEATS_FILE).is_file():
        return ()
    from edgetest.study.wear.kept_repeats import kept_repeats

    try:
        kept_repeats(source.path)
    except UnusableInput as fault:
        return getattr(fault, "faults", (fault,))
    return ()


def _chop_faults(chops, study):
    """Faults of a chop test; without one its numerical room is not imported."""
    if chops is None and (study is None or not (study.handling or study.outline)):
        return ()
    from edgetest.study.chop.chop_faults import chop_faults

    return chop_faults(chops, study)


def _blades(source):
    """One entry a blade: the study's first, then those that only the log names."""
    study = source.study
    names = [blade.id for blade in study.blades] if study else []
    chopped = source.chops.blades() if source.chops else ()
    read, done = _by_blade(source.log.rows), _by_blade(_done(source.chops))
    for name in dict.fromkeys([*names, *source.log.blades(), *chopped]):
        known = study.blade(name) if study and name in names else None
        own = known.heat_treatment if known else None
        yield {
            "blade": name,
            "heat_treatment": own or source.log.heat_treatment_of(name),
            "angle": known.angle_words() if known else "",
            "hardness": _hardness(known) if known else "",
            "stages": _stages(read[name]) or _chopped(done[name]),
        }


def _by_blade(rows):
    """Rows by their blade; none of a blade that has none."""
    found = defaultdict(list)
    for row in rows:
        found[row.blade].append(row)
    return found


def _stages(rows):
    """The stages at which a blade was read, or the lives noted for it, in words."""
    noted = [row.readings[LIFE] for row in rows if LIFE in row.readings]
    if noted:
        return ", ".join(f"{life.value:g}" if life.value else cell_of(life) for life in noted)
    cuts = {row.cuts for row in rows if not row.waiting}
    return ", ".join(str(stage) for stage in sorted(cuts))


def _done(chops):
    """Rows of a chop log that say or show something."""
    return [row for row in chops.rows if row.photo or not row.waiting] if chops else []


def _chopped(rows):
    """What a blade did in a chop test, in words."""
    kinds = [row.kind for row in rows]
    return ", ".join(f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds))


def _hardness(blade):
    """Measured hardness in words; a target never stands in for it."""
    if blade.hardness_hrc:
        return f"{', '.join(f'{value:g}' for value in blade.hardness_hrc)} HRC measured"
    files = blade.hardness_files
    if files is None:
        return ""
    parts = [f"file {files.skates:g} skates" if files.skates else ""]
    parts.append(f"file {files.bites:g} bites" if files.bites else "")
    return ", ".join(part for part in parts if part)

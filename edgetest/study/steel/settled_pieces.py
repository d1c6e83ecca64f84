"""Which pieces of earlier studies are settled, and what would they teach of the next one?"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.steel.hardened_rules import ENOUGH_TRIALS
from edgetest.steel.own_pieces import FIT, UNFIT, OwnPieces
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.trade_rules import too_little_carbon
from edgetest.steel.tried_blades import TriedBlade, tried_blades
from edgetest.store.records import load_study
from edgetest.store.study_list import list_studies
from edgetest.store.study_paths import file_named
from edgetest.store.toml_edit import change_toml
from edgetest.study.sources import open_source
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.blade_heats import blade_homes, reference_blades
from edgetest.study.steel.chop_trials import chop_trials
from edgetest.study.steel.evidence_edit import put_wishes
from edgetest.study.steel.judge_steel import study_lives
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import steel_rows_of, verdict_wishes_of
from edgetest.study.steel.steel_tables_file import load_steel_tables, own_tables_file
from edgetest.study.words import counted, listed

OWN_TABLES = "own_steels.toml"  # where a study names no tables of its own yet
HOW = {FIT: "served as a blade", UNFIT: "made no blade that lived"}


@dataclass(frozen=True)
class SettledPieces:
    """Pieces of one earlier study that came out alike, as a row of `[[own_pieces]]`."""

    study: str
    pieces: tuple[str, ...]
    row: OwnPieces
    folder: str = ""
    like: tuple[str, ...] = ()  # folders with a piece whose first rows are the same

    @property
    def named(self) -> str:
        """The study by its title, and by its folder, which alone tells copies apart."""
        return self.study if self.folder in ("", self.study) else f"{self.study} ({self.folder})"

    def summary(self) -> str:
        """What they were, and what they would add, in a line."""
        row = self.row
        few = "" if row.count == len(self.pieces) else f", {row.count:g} of them new"
        return (
            f"{', '.join(self.pieces)} of {self.named}: {spaced(row.origin)}, "
            f"{HOW[row.turned_out]} ({counted(len(self.pieces), 'piece')}{few}{self._twice()})"
        )

    def _twice(self) -> str:
        """That a piece begins as one of another folder does, as in a copy that went its own way."""
        if not self.like:
            return ""
        return f"; begun as in {listed(self.like)}: of one piece in copied folders count one alone"

    def to_dict(self):
        """Plain values for JSON; `row` as it stands in the file."""
        return {"study": self.study, "pieces": list(self.pieces), "row": _written(self.row)}


def settled_pieces(folder) -> tuple[SettledPieces, ...]:
    """What the studies beside a study have settled, and its tables do not hold yet.

    A piece is settled by a trial blade that stood, by as many that gave out as count, or by a
    laboratory that found too little carbon. Invented studies teach only an invented one. A
    study with faults teaches nothing; its own check tells them. Logs that are read from
    photographs are left out, for they take minutes.

    Parameters
    ----------
    folder : path-like
        The study that is asked about; the others stand beside it.
    """
    study = load_study(folder)
    named = verdict_wishes_of(study).tables
    own = load_steel_tables(own_tables_file(study, named)).own if named else ()
    here = study.folder.resolve()
    told = [study.evidence]
    begun = {here.name: _beginnings(study.evidence)}
    found = []
    for entry in list_studies(here.parent):
        other = entry.folder.resolve()
        if other in (here, here.parent) or entry.fault or entry.invented != study.invented:
            continue
        if (there := _evidence_of(other)) in told:  # a copy tells the same piece once more
            continue
        told.append(there)
        begun[other.name] = _beginnings(there)
        for one in _settled_in(other):
            same = [r for r in own if (r.lot, r.origin, r.turned_out) == _same(one.row)]
            new = one.row.count - sum(r.count for r in same)
            if new > 0:
                found.append(replace(one, row=replace(one.row, count=new)))
    return tuple(replace(one, like=_begun_alike(one, begun)) for one in found)


def _beginnings(evidence) -> dict[str, tuple]:
    """Of each piece with a heat or a trial: its row and the first of them, as typed."""
    found: dict[str, tuple] = {}
    told = evidence if isinstance(evidence, dict) else {}
    for row in told.get("pieces", ()):
        done = [
            r for t in ("heats", "trials") for r in told.get(t, ()) if r.get("piece") == row["id"]
        ]
        if done:
            found[row["id"]] = (dict(row), dict(done[0]))
    return found


def _begun_alike(one: SettledPieces, begun) -> tuple[str, ...]:
    """The other folders in which one of its pieces has the same first rows."""
    own = begun[one.folder]
    return tuple(
        folder for folder, there in begun.items()
        if folder != one.folder
        and any(name in own and there.get(name) == own[name] for name in one.pieces)
    )  # fmt: skip


def offered_words(offered: tuple[SettledPieces, ...]) -> str:
    """That settled pieces could be added, which, and how; "" where there is none."""
    if not offered:
        return ""
    count = int(sum(one.row.count for one in offered))
    said = "; ".join(one.summary() for one in offered)
    return (
        f"{counted(count, 'settled piece')} of earlier studies could be added: {said}. Nothing "
        "is taken unasked: the app's page Verdict has a button for each; or write them as "
        f"[[own_pieces]] into the file that tables in [verdict] names."
    )


def add_settled(folder, one: SettledPieces) -> Path:
    """Write settled pieces into the study's own tables; made, and named in it, where it has none.

    Raises
    ------
    UnusableInput
        If the file cannot be changed here.
    """
    study = load_study(folder)
    name = verdict_wishes_of(study).tables
    path = file_named(study.folder, name or OWN_TABLES, "study.toml, verdict, tables")
    if path.is_file():
        load_steel_tables(path)  # a file with a fault is told of it, not written into

    def added(tables):
        return {**tables, "own_pieces": [*tables.get("own_pieces", []), _written(one.row)]}

    change_toml(path, added)
    load_steel_tables(path)
    if name is None:
        was = dict(study.verdict or {})
        put_wishes(folder, was, {**was, "tables": OWN_TABLES})
    return path


def _evidence_of(folder: Path):
    """What a study wrote down of its steel; nothing like it where the study cannot be read."""
    try:
        return load_study(folder).evidence or object()
    except UnusableInput:
        return object()


def _written(row: OwnPieces):
    """A row as the file holds it."""
    count = int(row.count) if row.count == int(row.count) else row.count
    return {**asdict(row), "origin": spaced(row.origin), "count": count}


def _same(row: OwnPieces):
    return row.lot, row.origin, row.turned_out


def _settled_in(folder: Path) -> Iterator[SettledPieces]:
    """Settled pieces of one study: those of one lot, origin and outcome together."""
    try:
        study = load_study(folder)
        seen = _seen(study) if study.of_steel else SteelSeen()
    except UnusableInput:
        return
    alike: dict[OwnPieces, list[str]] = {}
    for piece in seen.pieces:
        outcome = _outcome(piece, seen)
        if outcome is not None:
            lot = f"{folder.name}: {piece.lot or piece.id}"
            alike.setdefault(OwnPieces(piece.origin, outcome, lot=lot), []).append(piece.id)
    for row, names in alike.items():
        settled = replace(row, count=float(len(names)))
        yield SettledPieces(study.title, tuple(names), settled, folder.name)


def _seen(study) -> SteelSeen:
    """All that a study saw of its steel, its trial blades by its logs too; lots as typed.

    A row of the tables names the kind of its pieces beside their lot.
    """
    rows, wishes = steel_rows_of(study), verdict_wishes_of(study)
    homes = blade_homes(study, rows.piece_names)
    trials = chop_trials(study.folder, homes, reference_blades(study))
    pictured = any(row.photo for row in open_source(study.folder).log.rows)
    if not pictured:
        _, lives = study_lives(study, homes, [], 1, None)
        trials += tuple(life.trial for life in lives if life.trial is not None)
    found = steel_seen_of(rows, wishes, study=study, lives=trials)
    return replace(found.seen, pieces=found.noted.pieces)


def _outcome(piece: PieceSeen, seen: SteelSeen) -> str | None:
    """What a piece turned out to be; None where it is not settled."""
    tried = _tried(piece, seen)
    if tried and tried[-1].stood:
        return FIT if _outlived(tried) else None
    return UNFIT if len(tried) >= ENOUGH_TRIALS or too_little_carbon(piece) else None


def _tried(piece: PieceSeen, seen: SteelSeen) -> list[TriedBlade]:
    """Its blades that were tried and told of, in order."""
    own = [t for t in seen.trials if t.piece == piece.id and not t.carburised]
    heats = [h for h in seen.heats if h.piece == piece.id and not h.carburised]
    told = (t for t in own if t.life_ratio is not None or t.result or t.edge)
    return tried_blades(told, heats)


def _outlived(tried) -> bool:
    """Whether more of the last blade's heat stood than gave out."""
    alike = [one for one in tried if one.at == tried[-1].at]
    failed = [one for one in alike if one.gave_out]
    return not failed or len(alike) > 2 * len(failed)

"""Which pieces of earlier studies are settled, and what would they teach of the next one?"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import NamedTuple

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
from edgetest.study.steel.copied_pieces import same_in, typed_piece
from edgetest.study.steel.evidence_edit import put_wishes
from edgetest.study.steel.judge_steel import study_lives
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import steel_rows_of, verdict_wishes_of
from edgetest.study.steel.steel_tables_file import load_steel_tables, own_tables_file
from edgetest.study.words import counted

OWN_TABLES = "own_steels.toml"  # where a study names no tables of its own yet
HOW = {FIT: "served as a blade", UNFIT: "made no blade that lived"}
POOR = "too little carbon for an edge, by the laboratory's figure"


@dataclass(frozen=True)
class SettledPieces:
    """Pieces of one earlier study that came out alike, as a row of `[[own_pieces]]`."""

    study: str
    pieces: tuple[str, ...]
    row: OwnPieces
    folder: str = ""
    by_laboratory: bool = False  # and by no blade

    @property
    def named(self) -> str:
        """The study by its title, and by its folder, which alone tells copies apart."""
        return self.study if self.folder in ("", self.study) else f"{self.study} ({self.folder})"

    def summary(self) -> str:
        """What they were, and what they would add, in a line."""
        row = self.row
        few = "" if row.count == len(self.pieces) else f", {row.count:g} of them new"
        how = POOR if self.by_laboratory else HOW[row.turned_out]
        return (
            f"{', '.join(self.pieces)} of {self.named}: {spaced(row.origin)}, {how} "
            f"({counted(len(self.pieces), 'piece')}{few})"
        )

    def to_dict(self):
        """Plain values for JSON; `row` as it stands in the file."""
        return {"study": self.study, "pieces": list(self.pieces), "row": _written(self.row)}


def settled_pieces(folder) -> tuple[SettledPieces, ...]:
    """What the studies beside a study have settled, and its tables do not hold yet.

    A piece is settled by a trial blade that stood, by as many that gave out as count, or by a
    laboratory that found too little carbon. A piece that stands in several copies of a folder is
    told once, and the study's own never (see `same_in`). Invented studies teach only an invented
    one. A study with faults teaches nothing; its own check tells them. Logs that are read from
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
    told: list[object] = [study.evidence]
    found: list[_Settled] = []
    for entry in list_studies(here.parent):
        other = entry.folder.resolve()
        if other in (here, here.parent) or entry.fault or entry.invented != study.invented:
            continue
        if (there := _evidence_of(other)) in told:  # a copy tells the same piece once more
            continue
        told.append(there)
        found += _settled_in(other)
    return tuple(_together(_each_once(found, study.evidence, own), own))


class _Settled(NamedTuple):
    """One settled piece: where it stands, as the tables would hold it, and as it was typed."""

    title: str
    folder: str
    name: str
    row: OwnPieces
    evidence: object
    by_laboratory: bool = False


def _each_once(found: list[_Settled], mine, own) -> list[_Settled]:
    """The settled pieces without the study's own; of one in several copies, that told of most.

    One that stands in the tables already comes before its copies.
    """
    held = {_same(row) for row in own}
    kept: list[_Settled] = []

    def rank(one: _Settled):
        return _same(one.row) in held, typed_piece(one.evidence, one.name).rows

    for one in sorted(found, key=rank, reverse=True):
        if not any(same_in(there, one.evidence, one.name) for there in (mine, *_of(kept, one))):
            kept.append(one)
    return [one for one in found if one in kept]


def _of(kept: list[_Settled], one: _Settled) -> list[object]:
    """The evidence of other studies in which a piece of the same id is kept already."""
    return [two.evidence for two in kept if two.name == one.name]


def _together(found: list[_Settled], own) -> Iterator[SettledPieces]:
    """Those of one study, lot, origin and outcome together, without what the tables hold."""
    alike: dict[tuple[str, OwnPieces], list[_Settled]] = {}
    for one in found:
        alike.setdefault((one.folder, one.row), []).append(one)
    for (folder, row), group in alike.items():
        new = len(group) - sum(r.count for r in own if _same(r) == _same(row))
        if new > 0:
            names = tuple(one.name for one in group)
            new_row = replace(row, count=float(new))
            by_laboratory = all(one.by_laboratory for one in group)
            yield SettledPieces(group[0].title, names, new_row, folder, by_laboratory)


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


def _settled_in(folder: Path) -> Iterator[_Settled]:
    """Settled pieces of one study, each by itself."""
    try:
        study = load_study(folder)
        seen = _seen(study) if study.of_steel else SteelSeen()
    except UnusableInput:
        return
    for piece in seen.pieces:
        outcome = _outcome(piece, seen)
        if outcome is not None:
            row = OwnPieces(piece.origin, outcome, lot=f"{folder.name}: {piece.lot or piece.id}")
            untried = outcome == UNFIT and len(_tried(piece, seen)) < ENOUGH_TRIALS
            yield _Settled(study.title, folder.name, piece.id, row, study.evidence, untried)


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

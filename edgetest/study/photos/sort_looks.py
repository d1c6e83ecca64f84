"""Looks: the sides of the land set by eye, picture after picture, blind if wished.

A row of looks goes through photographs in a random order; some that were looked at before stand
among the new ones, so that the eye is checked. Every look is a line on disk (`looks.jsonl`).
"""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_line, locked, read_json_lines
from edgetest.study.wear.photo_values import WIDTH, reading_of_photo
from edgetest.study.wear.study_photos import photo_tasks

if TYPE_CHECKING:
    from edgetest.photo.apex.level_cut import LevelCut

LOOKS_FILE = "looks.jsonl"
EVERY = 8  # one of so many is an old one: an eighth more work for a check of the eye
# An old picture of the same row is not shown before so many others: it is not remembered.
APART = 5
# Height of the cut: an edge of 20 µm, blunt by any protocol, fills half of it.
HIGH_UM = 40.0


@dataclass(frozen=True)
class EyeLook:
    """The sides of one photograph, set by eye.

    Attributes
    ----------
    photo : str
    width_um : float or None
        None where a person said that no side can be seen.
    blind : bool
        Blade, stage and heat treatment were hidden.
    who, when : str
    number : int
        Counted over all looks of the study.
    """

    photo: str
    width_um: float | None
    blind: bool
    who: str
    when: str
    number: int


@dataclass(frozen=True)
class LookRow:
    """A row of looks: photographs in their random order, and how far it is.

    `again` says of each whether it was shown before; `opened` that its names were shown.
    """

    name: str
    photos: tuple[str, ...]
    again: tuple[bool, ...]
    who: str
    blind: bool
    looks: tuple[EyeLook, ...] = ()
    opened: bool = False

    @property
    def due(self):
        """The photograph to look at next; None at the end."""
        done = len(self.looks)
        return self.photos[done] if done < len(self.photos) else None


@dataclass(frozen=True)
class EyeLooks:
    """All rows of looks of a study, oldest first."""

    rows: tuple[LookRow, ...] = ()
    written: dict[str, str] = field(default_factory=dict)  # cell of the log, by photograph

    @property
    def every(self):
        """Every look that was made, oldest first."""
        looks = [look for row in self.rows for look in row.looks]
        return tuple(sorted(looks, key=lambda look: look.number))

    @property
    def open_row(self):
        """The row under way, or None."""
        row = self.rows[-1] if self.rows else None
        return row if row is not None and row.due is not None and not row.opened else None


def read_looks(folder):
    """The looks of a study; a line cut short by a crash is passed over.

    Returns
    -------
    EyeLooks
    """
    rows: dict[str, LookRow] = {}
    written: dict[str, str] = {}
    number = 0
    for _, entry in read_json_lines(Path(folder) / LOOKS_FILE):
        what, name = entry.get("what"), str(entry.get("row", ""))
        row = rows.get(name)
        if what == "row":
            rows[name] = LookRow(
                name, tuple(entry["photos"]), tuple(entry["again"]), entry["who"], entry["blind"]
            )
        elif what == "written":
            written[entry["photo"]] = entry["says"]
        elif row is None:
            continue
        elif what == "look" and entry["at"] == len(row.looks):  # one sent twice counts once
            number += 1
            width = entry["width_um"]
            look = EyeLook(entry["photo"], width, entry["blind"], row.who, entry["when"], number)
            rows[name] = replace(row, looks=(*row.looks, look))
        elif what == "undo" and row.looks:
            rows[name] = replace(row, looks=row.looks[:-1])
        elif what == "open":
            rows[name] = replace(row, opened=True)
    return EyeLooks(tuple(rows.values()), written)


def row_of_looks(new, old, *, seed, every=EVERY):
    """New photographs in random order with old ones among them.

    Parameters
    ----------
    new, old : sequence of str
        Not looked at yet; looked at before.
    seed : int
        The same seed gives the same row.
    every : int
        One of so many is an old one, from an earlier row or from this one at least five back.
        Without new ones, an eighth of the old, six at the least, are shown again.

    Returns
    -------
    list of (str, bool)
        Photograph, and whether it was shown before.
    """
    rng = np.random.default_rng(seed)
    fresh = [str(each) for each in rng.permutation(sorted(new))]
    pool = [str(each) for each in rng.permutation(sorted(old))]
    if not fresh:
        return [(photo, True) for photo in pool[: max(6, -(-len(pool) // every))]]
    row: list[tuple[str, bool]] = []
    used: set[str] = set()
    for count, photo in enumerate(fresh, 1):
        row.append((photo, False))
        if count % (every - 1):
            continue
        mine = [name for name, again in row[:-APART] if not again and name not in used]
        again = pool.pop() if pool else str(rng.choice(mine)) if mine else None
        if again is not None:
            used.add(again)
            row.append((again, True))
    return row


def to_look_at(source):
    """Photographs whose sides can be set: new ones and those looked at before.

    Returns
    -------
    (tuple of str, tuple of str)
        Of bright lines with a scale, as the log names them and does not leave out.

    Raises
    ------
    UnusableInput
        If a scale cannot be taken.
    """
    lines = {
        row.photo
        for row in source.log.rows
        if row.photo and not row.exclude and reading_of_photo(source.study, row) == WIDTH
    }
    names = [
        task.name
        for task in photo_tasks(source)[0]
        if task.name in lines and (task.um_per_px or task.correction.um_per_px)
    ]
    seen = {look.photo for look in read_looks(source.path).every}
    return (
        tuple(name for name in names if name not in seen),
        tuple(name for name in names if name in seen),
    )


def begin_row(source, *, seed, who="", blind=True, every=EVERY, when=None):
    """Draw a row of looks and keep it.

    Raises
    ------
    UnusableInput
        If there is nothing to look at.
    """
    new, old = to_look_at(source)
    row = row_of_looks(new, old, seed=seed, every=every)
    if not row:
        raise UnusableInput(
            "there is no photograph with a place and a scale", "looks",
            "sort the pictures first, and set the scale on the page Photographs",
        )  # fmt: skip
    photos, again = zip(*row, strict=True)
    _note(source.path, when, what="row", row=uuid4().hex, seed=seed, photos=list(photos),
          again=list(again), who=who.strip(), blind=bool(blind))  # fmt: skip


@dataclass(frozen=True)
class Shown:
    """A photograph as it is looked at: its edge level and large."""

    cut: "LevelCut"
    um_per_px: float

    def width_um(self, points):
        """The width between two points of the cut, across the edge."""
        (first, _), (second, _) = points
        return abs(second - first) / self.cut.times * self.um_per_px


def shown_for_look(source, photo):
    """The cut of a photograph in which its sides are set.

    Raises
    ------
    UnusableInput
        If the photograph cannot be read or has no scale.
    """
    task = next((each for each in photo_tasks(source)[0] if each.name == photo), None)
    scale = (task.correction.um_per_px or task.um_per_px) if task is not None else None
    if task is None or not scale:
        raise UnusableInput(
            "this picture is no longer there, or has no scale", "looks",
            "say that its sides cannot be seen, and go on",
        )  # fmt: skip
    from edgetest.photo.apex.level_cut import level_cut  # OpenCV: no answer waits for it
    from edgetest.store.images import read_picture

    picture = read_picture(task.path, name="this picture", tone=task.tone)
    cut = level_cut(picture.grey, HIGH_UM / scale)
    if cut is None:
        raise UnusableInput("this picture is too small", "looks", "go on with the next one")
    return Shown(cut, scale)


def keep_look(folder, row, width_um, *, when=None):
    """Keep one look; it is on disk when this returns, and one that is sent twice counts once."""
    _note(folder, when, what="look", row=row.name, at=len(row.looks), photo=row.due,
          width_um=width_um, blind=row.blind)  # fmt: skip


def undo_look(folder, row, *, when=None):
    """Take the last look of a row back."""
    _note(folder, when, what="undo", row=row.name)


def open_names(folder, row, *, when=None):
    """Show what was hidden; the row ends with it."""
    _note(folder, when, what="open", row=row.name)


def note_written(folder, photo, says, *, when=None):
    """Note what the log was told of a photograph from its looks."""
    _note(folder, when, what="written", photo=photo, says=says)


def _note(folder, when, **words):
    moment = (when or datetime.now(UTC)).isoformat(timespec="seconds")
    with locked(folder):
        append_json_line(Path(folder) / LOOKS_FILE, words | {"when": moment})

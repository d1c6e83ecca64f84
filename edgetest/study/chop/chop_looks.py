"""Looks at the edge during a chop test: photographs and the log's counts, before and after."""

from dataclasses import dataclass, field, replace

from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.chop.edge_damage import KINDS, NOTHING_SEEN, EdgeDamage, damage_by_row
from edgetest.study.photos.corrections import NO_CORRECTION, corrections
from edgetest.study.photos.photo_scales import scales_of_study
from edgetest.study.photos.side_views import SideViewResult, SideViewTask, kept_side_view
from edgetest.study.words import counted

SOURCES = ("photographs", "log")


@dataclass(frozen=True)
class Look:
    """One look at one blade's edge, after so many chops.

    `counted` are the log's counts (None: not looked), `photos` the measured side views;
    `source` says which of the two was to be used; `by_kind` which the damage of each kind counts
    by, where that is known: a chip beyond the photographs counts by eye, and its roll by them.
    `fresh` says that the edge, sharpened or touched up, had not worked yet.
    """

    blade: str
    chops: int
    when: str
    rows: tuple[int, ...]
    counted: dict[str, int | None]
    largest_chip_mm: float | None
    photos: tuple[SideViewResult, ...] = field(repr=False)
    missing: tuple[str, ...] = ()
    edge_length_mm: float | None = None
    source: str | None = None
    standing: EdgeDamage = NOTHING_SEEN
    by_kind: tuple[tuple[str, str], ...] = ()
    fresh: bool = False

    @property
    def sources(self):
        """Source that each kind of damage counts by: "photographs", "log", or None for neither."""
        return {kind: dict(self.by_kind).get(kind, self.source) for kind in KINDS}

    @property
    def used_words(self):
        """The source in use, of each kind where they differ; "" where none is."""
        used = self.sources
        if len(set(used.values())) == 1:
            return used[KINDS[0]] or ""
        return ", ".join(f"{source} for {kind}" for kind, source in used.items())

    @property
    def measured(self):
        """Side views that gave an edge."""
        return tuple(photo for photo in self.photos if photo.measured)

    @property
    def photo_length_mm(self):
        """Length of edge on the measured side views."""
        return sum(photo.numbers["edge_length_um"] for photo in self.measured) / 1000

    def seen_by(self, source):
        """The look as one source alone tells it, or None where that source does not tell all."""
        if source not in _sources(self.standing, self.photos, self.missing):
            return None
        return replace(self, source=source, by_kind=())

    def seen(self, kind):
        """Chips or rolls on the measured side views, each as its plain values."""
        return [each for photo in self.measured for each in photo.numbers[kind]]

    def used(self, kind):
        """Chips or rolls of the photographs, where these are the source in use for the kind."""
        return self.seen(kind) if self.sources[kind] == "photographs" else []

    def count(self, kind):
        """Count and length of edge, mm (None: not known), from the source in use, or None."""
        if self.sources[kind] == "photographs":
            return len(self.seen(kind)), self.photo_length_mm
        if self.sources[kind] == "log" and self.standing.worst(kind) is not None:
            return self.standing.worst(kind), self.edge_length_mm
        return None

    def to_dict(self):
        """Plain values for JSON: both sources, and which is used."""
        return {
            "blade": self.blade,
            "chops": self.chops,
            "when": self.when,
            "rows": list(self.rows),
            "from_log": {
                "chips": self.counted["chips"],
                "rolls": self.counted["rolls"],
                "largest_chip_mm": self.largest_chip_mm,
                "edge_length_mm": self.edge_length_mm,
            },
            "from_photographs": {
                **{kind: len(self.seen(kind)) for kind in KINDS},
                "deepest_chip_um": max((c["depth_um"] for c in self.seen("chips")), default=None),
                "edge_length_mm": self.photo_length_mm,
                "photographs": [photo.to_dict() for photo in self.photos],
                "missing": list(self.missing),
            }
            if self.photos or self.missing
            else None,
            "used": self.sources["chips"] if len({*self.sources.values()}) == 1 else "both",
            "used_for": self.sources,
            "standing": self.standing.to_dict(),
        }

    def summary(self):
        """The look in a sentence."""
        photo, eye = counted(len(self.seen("chips")), "chip"), self.counted
        photo += f" and {counted(n, 'roll')}" if (n := len(self.seen("rolls"))) else ""
        by_eye = [counted(eye["chips"], "chip")] if eye["chips"] is not None else []
        by_eye += [counted(eye["rolls"], "roll")] if eye["rolls"] else []
        parts = [f"{' and '.join(by_eye)} by eye" if by_eye else ""]
        parts.append(
            f"{photo} in {counted(len(self.measured), 'photograph')}" if self.measured else ""
        )
        used = f"; used: {self.used_words}" if self.used_words else ""
        said = ", ".join(part for part in parts if part)
        fresh = ", touched up" if self.fresh and self.chops else ""
        return f"{self.blade}, {self.when} ({self.chops} chops{fresh}): {said}{used}"


def looks(log, study, photos_folder, *, damage_from="photographs"):
    """Every look at an edge, in the order of the log.

    Rows without work between them are one look. Counts are of the whole edge, in all, so the
    worst of one look stands, and of all looks since the edge was made.

    Parameters
    ----------
    log : ChopLog
    study : Study or None
    photos_folder : Path
    damage_from : {"photographs", "log"}
        Which counts where a look has both.

    Returns
    -------
    tuple of Look
    """
    made, groups = strokes(log.rows), _groups(log.rows)
    tasks = side_view_tasks(log, study, photos_folder)
    last = {rows[0].blade: number for number, (after, _, rows) in enumerate(groups) if after}
    found, damage = [], damage_by_row(log.rows)
    for number, (after, fresh, rows) in enumerate(groups):
        blade = rows[0].blade
        when = "before" if not after else "after" if last[blade] == number else "between"
        photos, missing = _side_views(rows, tasks)
        counted = {kind: _most(getattr(row, f"{kind}_count") for row in rows) for kind in KINDS}
        standing = damage[rows[-1].line]
        found.append(
            Look(
                blade,
                made[rows[0].line][1],
                when,
                tuple(row.line for row in rows),
                counted,
                max((x for row in rows if (x := row.largest_chip_mm) is not None), default=None),
                photos,
                missing,
                study.blade(blade).edge_length_mm if study is not None else None,
                _source(standing, photos, missing, damage_from),
                standing,
                fresh=fresh,
            )
        )
    return tuple(found)


def _groups(rows):
    """Rows that are one look, with whether its blade had worked, and its edge had not yet."""
    open_rows: dict[str, list] = {}
    worked: set[str] = set()
    dulled: set[str] = set()
    groups: list[tuple[bool, bool, list]] = []
    for row in rows:
        if row.waiting and not row.photo:
            continue
        if row.kind != "inspection":
            open_rows.pop(row.blade, None)
        if row.kind not in ("inspection", TOUCH_UP):
            worked.add(row.blade)
            dulled.add(row.blade)
        if row.kind == TOUCH_UP and not row.exclude:
            dulled.discard(row.blade)
        held = (row.chips_count, row.rolls_count, row.largest_chip_mm, row.photo or None)
        if not row.look_counts or all(value is None for value in held):
            continue
        if row.blade not in open_rows:
            open_rows[row.blade] = []
            groups.append((row.blade in worked, row.blade not in dulled, open_rows[row.blade]))
        open_rows[row.blade].append(row)
    return groups


def side_view_tasks(log, study, photos_folder):
    """The side views that a chop log names and that are there, by their name in the log.

    Parameters
    ----------
    log : ChopLog
    study : Study or None
        With its scales, and what a person has set right on its photographs.
    photos_folder : Path

    Returns
    -------
    dict of str to SideViewTask
    """
    rows = [row for row in log.rows if row.photo and row.look_counts]
    if not rows:
        return {}
    scales = scales_of_study(study) if study is not None else {}
    mended = corrections(study.folder) if study is not None else {}
    found = {}
    for row in rows:
        path, scale = photos_folder / row.photo, scales.get(row.scale)
        if path.is_file():
            found[row.photo] = SideViewTask(
                path,
                scale.um_per_px if scale else None,
                scale.relative_u if scale else 0.0,
                mended.get(row.photo, NO_CORRECTION),
                row.photo,
            )
    return found


def _side_views(rows, tasks):
    """The photographs of one look, measured, and the names of those that are not there.

    A picture that stands in two rows of the look shows one stretch of edge, not two.
    """
    named = [row.photo for row in rows if row.photo]
    photos = [kept_side_view(tasks[name]) for name in named if name in tasks]
    each = {photo.sha256 or photo.photo: photo for photo in reversed(photos)}
    once = tuple(reversed(each.values()))
    return once, tuple(name for name in named if name not in tasks)


def _source(standing, photos, missing, damage_from):
    """Which of the two sources a look uses: the one asked for, where it is whole."""
    can = _sources(standing, photos, missing)
    asked_first = sorted(SOURCES, key=damage_from.__ne__)
    return next((source for source in asked_first if source in can), None)


def _sources(standing, photos, missing):
    """Which sources tell all of a look."""
    can = {
        "photographs": bool(photos) and all(photo.measured for photo in photos) and not missing,
        "log": any(standing.worst(kind) is not None for kind in KINDS),
    }
    return [source for source, whole in can.items() if whole]


def _most(values):
    """The most that was counted; None where nothing was."""
    return max((value for value in values if value is not None), default=None)

"""What damage stands with an edge: the worst that the log ever says, since the edge was made.

Damage does not heal. A count that falls is asked about; touching up starts a new edge.
"""

from dataclasses import dataclass, replace

from edgetest.doubts import Where, doubt
from edgetest.estimate import for_json
from edgetest.store.chop_log import TOUCH_UP
from edgetest.store.table_faults import cell_fault
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.words import counted, listed

KINDS = ("chips", "rolls")
_COLUMNS = {"chips": "chips_count", "rolls": "rolls_count", "largest chip": "largest_chip_mm"}


@dataclass(frozen=True)
class EdgeDamage:
    """Damage that stands with one edge after a row of the log.

    `seen` holds by kind ("chips", "rolls", "largest chip", mm) the worst and the row after which
    it came; `before` is what stood when the edge had not worked yet. `edge` counts the edges of
    the blade from 1; `earlier` is what was new on those before it, by kind. `left` is what may be
    older than this edge's work, for want of a look before it: no more than the first look counts,
    nor than stood before a light touch-up. `doubted` is how much of `earlier` may be such.
    """

    edge: int = 1
    seen: tuple[tuple[str, float, int], ...] = ()
    before: tuple[tuple[str, float], ...] = ()
    earlier: tuple[tuple[str, float], ...] = ()
    left: tuple[tuple[str, float], ...] = ()
    doubted: tuple[tuple[str, float], ...] = ()

    def worst(self, kind):
        """The worst of a kind, or None where it was never looked for."""
        return next((value for name, value, _ in self.seen if name == kind), None)

    def came_after(self, kind):
        """Row of the log after which the worst was first seen, or None."""
        return next((row for name, _, row in self.seen if name == kind), None)

    def new(self, kind):
        """What is new of a kind on this edge and on those before it, in all; None: not looked."""
        worst = self.worst(kind)
        if worst is None and kind not in dict(self.earlier):
            return None
        own = max(0, (worst or 0) - dict(self.before).get(kind, 0))
        return own + dict(self.earlier).get(kind, 0)

    def maybe_old(self, kind):
        """How much of what counts as new may be older, unseen before the edge's first work."""
        worst, before = self.worst(kind) or 0, dict(self.before)
        own = 0 if kind in before else min(worst, dict(self.left).get(kind, 0))
        return own + dict(self.doubted).get(kind, 0)

    def to_dict(self):
        """Plain values for JSON."""
        worst = {
            kind: {"worst": value, "row": row, "new_in_all": self.new(kind)}
            for kind, value, row in self.seen
        }
        return for_json({"edge": self.edge, **worst})

    def looked(self, row, *, fresh):
        """After a row that says something of the edge."""
        seen = {name: (value, line) for name, value, line in self.seen}
        before, left = dict(self.before), dict(self.left)
        for kind, column in _COLUMNS.items():
            value = getattr(row, column)
            if value is None:
                continue
            if kind not in seen and not fresh:  # no more is older than the first look counts
                left[kind] = min(left.get(kind, value), value)
            if kind not in seen or value > seen[kind][0]:
                seen[kind] = value, row.line
            if fresh:
                before[kind] = max(value, before.get(kind, 0))
        return replace(
            self,
            seen=tuple((name, *one) for name, one in seen.items()),
            before=tuple(before.items()),
            left=tuple(left.items()),
        )

    def touched_up(self):
        """The next edge: nothing stands with it, what was new before it is kept."""
        met = dict.fromkeys([*(name for name, _, _ in self.seen), *dict(self.earlier)])
        kinds = [kind for kind in met if kind in KINDS]
        return EdgeDamage(
            self.edge + 1,
            earlier=tuple((kind, self.new(kind)) for kind in kinds),
            left=tuple((kind, self.worst(kind) or 0) for kind in kinds),
            doubted=tuple((kind, self.maybe_old(kind)) for kind in kinds),
        )


NOTHING_SEEN = EdgeDamage()


def damage_by_row(rows):
    """Damage that stands after each row, by line of the log; a look left out says nothing.

    Parameters
    ----------
    rows : sequence of ChopRow
        In the order of the work.

    Returns
    -------
    dict of int to EdgeDamage
    """
    standing: dict[str, EdgeDamage] = {}
    worked: set[str] = set()
    found = {}
    for row in rows:
        now = standing.get(row.blade, NOTHING_SEEN)
        if row.kind == TOUCH_UP and not row.exclude:
            now = now.touched_up()
            worked.discard(row.blade)
        elif row.kind != "inspection" and not row.waiting:
            worked.add(row.blade)
        if row.look_counts:
            now = now.looked(row, fresh=row.blade not in worked)
        standing[row.blade] = found[row.line] = now
    return found


def touch_ups(rows, made):
    """Touch-ups of the log, each with the strokes that its blade had made in all."""
    return tuple(
        {"kind": TOUCH_UP, "blade": row.blade, "row": row.line, "chops": made[row.line][0],
         "note": row.note or None}
        for row in rows
        if row.kind == TOUCH_UP and not row.exclude
    )  # fmt: skip


def falls(rows):
    """A doubt for every blade and kind of damage whose count falls without a touch-up."""
    damage, asked = damage_by_row(rows), set()
    for row in rows:
        for kind, column in _COLUMNS.items():
            value, worst = getattr(row, column), damage[row.line].worst(kind)
            key = (row.blade, damage[row.line].edge, kind)
            if not row.look_counts or value is None or value >= worst or key in asked:
                continue
            asked.add(key)
            what = f"{kind}, {worst:g} before and {value:g} now"
            yield doubt(
                "damage_fell",
                blade=row.blade,
                what=what,
                where=Where(blade=row.blade, row=row.line),
            )


def looks_kept(rows):
    """A doubt for every row left out whose look counts: it was the first to show new damage.

    Parameters
    ----------
    rows : sequence of ChopRow
        In the order of the work.

    Yields
    ------
    Doubt
    """
    damage = damage_by_row(rows)
    last: dict[tuple[str, str], float] = {}
    for row in rows:
        found = []
        for kind in KINDS:
            new, before = damage[row.line].new(kind) or 0, last.get((row.blade, kind), 0)
            last[row.blade, kind] = max(new, before)
            if row.exclude and row.look_counts and new > before:
                found.append(counted(round(new - before), f"new {kind.removesuffix('s')}"))
        if found:
            yield doubt("look_kept", what=listed(found), reason=row.exclude,
                        where=Where(blade=row.blade, row=row.line))  # fmt: skip


def last_counted(rows):
    """After how many strokes each kind of damage was counted last, by blade and kind.

    Parameters
    ----------
    rows : sequence of ChopRow
        In the order of the work.

    Returns
    -------
    dict of str to dict of str to int
        Kinds that were never counted are left out.
    """
    made = strokes(rows)
    last: dict[str, dict[str, int]] = {}
    for row in rows:
        for kind in KINDS:
            if row.look_counts and getattr(row, _COLUMNS[kind]) is not None:
                last.setdefault(row.blade, {})[kind] = made[row.line][1]
    return last


def asked_of_stopped(name, rows):
    """A question for each blade of which one kind of damage was no longer counted.

    Yields
    ------
    CellFault
        Told, not raised, at the first look that leaves it blank.
    """
    for blade, seen in last_counted(rows).items():
        for kind, so_far in seen.items():
            if so_far < max(seen.values()):
                row = _left_blank(rows, blade, kind)
                what = f"blank, and {kind} of {blade} were counted in rows before it alone"
                mend = (
                    "count both at each look, 0 where there are none; if you did not look, leave it"
                )
                yield cell_fault(name, row.line, _COLUMNS[kind], what, mend)


def _left_blank(rows, blade, kind):
    """The first row after the last count of a kind in which the other was counted."""
    blank = None
    for row in rows:
        counts = {each: getattr(row, _COLUMNS[each]) for each in KINDS}
        if row.blade != blade or not row.look_counts or set(counts.values()) == {None}:
            continue
        blank = None if counts[kind] is not None else blank or row
    return blank


def stopped_counting(rows):
    """A doubt for each blade of which one kind of damage was no longer counted, the other was."""
    for blade, seen in last_counted(rows).items():
        for kind, so_far in seen.items():
            if so_far < max(seen.values()):
                yield doubt("kind_not_looked_for", blade=blade, kind=kind.capitalize(),
                            so_far=so_far, looked=max(seen.values()),
                            where=Where(blade=blade))  # fmt: skip

"""Did the largest chip of an edge grow, from what, and over which strokes?"""

from dataclasses import dataclass

from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.chop_rows import strokes


@dataclass(frozen=True)
class ChipGrown:
    """The largest chip when first measured and at its largest, mm, each after its strokes."""

    blade: str
    first_mm: float
    first_after: int
    most_mm: float
    most_after: int

    def summary(self):
        """The growth in a sentence."""
        return (
            f"{self.blade}: the largest chip, {self.first_mm:g} mm when it was first measured after"
            f" {self.first_after} strokes, grew to {self.most_mm:g} mm by {self.most_after}"
        )


def chip_grown(rows, blade):
    """How the largest chip of a tool's edge grew since it was last touched up.

    Parameters
    ----------
    rows : sequence of ChopRow
        The whole log, in the order of the work.
    blade : str

    Returns
    -------
    ChipGrown or None
        None where it did not, or where more chips came meanwhile: then it may be another one.
    """
    made = strokes(rows)
    seen: list[tuple[float, int, int | None]] = []
    for row in rows:
        if row.blade != blade or not row.look_counts:
            continue
        if row.kind == TOUCH_UP:
            seen = []
        elif row.largest_chip_mm:
            seen.append((row.largest_chip_mm, made[row.line][1], row.chips_count))
    if not seen or len({chips for _, _, chips in seen}) > 1:
        return None
    first, most = seen[0], max(seen, key=lambda one: one[0])
    return ChipGrown(blade, *first[:2], *most[:2]) if most[0] > first[0] else None

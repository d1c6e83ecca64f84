"""How well does the eye repeat that set the sides, and does it drift? And its widths in the log."""

from collections import defaultdict
from dataclasses import dataclass
from statistics import mean

from edgetest.doubts import doubt
from edgetest.stats.agreement import LEAST_PAIRS, Agreement, agreement
from edgetest.store.journal import correct_reading
from edgetest.study.photos.sort_looks import note_written, read_looks
from edgetest.study.wear.photo_values import AREA, WIDTH
from edgetest.study.words import counted

# A shift of half the difference between heat treatments halves it, or makes it half as large
# again: from there on the eye could be what is compared.
COMPARABLE = 0.5


@dataclass(frozen=True)
class SecondLook:
    """Two looks at one place, of one person or one camera; `at` is the time that drift runs on."""

    photo: str
    first_um: float
    second_um: float
    at: int


@dataclass(frozen=True)
class EyeCheck:
    """The pairs of looks, and what they say; `found` is None below six pairs.

    `looks` counts all of them, `seen` and `mover` say of what: looks at one picture and the eye,
    or photographs of one place and the focus.
    """

    pairs: tuple[SecondLook, ...]
    looks: int
    found: Agreement | None
    seen: str = "look"
    mover: str = "eye"

    @property
    def wanting(self):
        """How many more pictures have to be looked at twice."""
        return max(LEAST_PAIRS - len(self.pairs), 0)

    def lines(self):
        """What the pairs say, in sentences a maker reads out."""
        found, seen = self.found, self.seen
        if found is None:
            return (
                f"{counted(len(self.pairs), 'place was', 'places were')} seen twice. "
                f"{self.wanting} more are needed before they say anything.",
            )
        first = found.summary().replace("second look", f"second {seen}")
        told = [first.replace(" more", " wider", 1).replace(" less", " narrower", 1)]
        told.append(
            f"One {seen} scatters by {found.within.summary()} (standard deviation); two {seen}s "
            f"at one place differ by more than {found.repeatability:.2g} µm once in twenty. "
            f"Nineteen of twenty second {seen}s lie between {found.lower.value:+.2g} and "
            f"{found.upper.value:+.2g} µm of the first."
        )
        return (*told, *([self._drift(found.drift)] if found.drift is not None else []))

    def _drift(self, drift):
        """How far the mover has gone over all looks."""
        low, high = (self.looks * end for end in (drift.low, drift.high))
        sure = "it drifts" if low > 0 or high < 0 else "that may be chance"
        return (
            f"Over {self.looks} {self.seen}s the {self.mover} moves by "
            f"{self.looks * drift.value:+.2g} µm ({low:+.2g} to {high:+.2g}): {sure}."
        )


def check_of(pairs, looks, **words):
    """Agreement of the pairs; none below six."""
    found = None
    if len(pairs) >= LEAST_PAIRS:
        found = agreement(
            [pair.first_um for pair in pairs], [pair.second_um for pair in pairs],
            time=[pair.at for pair in pairs], unit="µm",
        )  # fmt: skip
    return EyeCheck(tuple(pairs), looks, found, **words)


def eye_check(folder):
    """Pairs of a person's first and last look at a photograph, and their agreement.

    Parameters
    ----------
    folder : str or Path
        The study.

    Returns
    -------
    EyeCheck
    """
    looks = read_looks(folder).every
    seen = defaultdict(list)
    for look in looks:
        if look.width_um is not None:
            seen[look.photo, look.who].append(look)
    pairs = [
        SecondLook(photo, some[0].width_um, some[-1].width_um, some[-1].number - some[0].number)
        for (photo, _), some in seen.items()
        if len(some) > 1
    ]
    return check_of(pairs, len(looks))


def eye_widths(folder):
    """The width of every photograph by eye: the mean of its looks, and whether all were blind.

    Returns
    -------
    dict of str to (float, bool)
    """
    seen = defaultdict(list)
    for look in read_looks(folder).every:
        if look.width_um is not None:
            seen[look.photo].append(look)
    return {
        photo: (mean(look.width_um for look in some), all(look.blind for look in some))
        for photo, some in seen.items()
    }


def write_widths(source):
    """Write the widths by eye into the log, where none was typed; each can be undone at the bench.

    Returns
    -------
    int
        How many were written.

    Raises
    ------
    UnusableInput
        If the log is an XLSX file, or was changed meanwhile.
    """
    widths, written = eye_widths(source.path), 0
    for row in source.log.rows:
        if row.photo in widths and not row.exclude and WIDTH not in row.readings:
            says = f"{widths[row.photo][0]:.2f}"
            of = {"blade": row.blade, "photo": row.photo}
            correct_reading(source.path, row.line, WIDTH, says, was="", of=of)
            note_written(source.path, row.photo, says)
            written += 1
    return written


def eye_doubts(source, reading, readings):
    """Doubts of a study whose widths were read by eye: blind or not, and whether the eye drifts.

    Parameters
    ----------
    source : Source
    reading : str
    readings : sequence of UsedReading
        As the fit meets them.

    Returns
    -------
    list of Doubt
        None where no reading that counts was read by eye.
    """
    if reading not in (WIDTH, AREA) or source.study is None:
        return []
    written = read_looks(source.path).written
    mine = [
        each for each in readings
        if each.photo in written and each.source == "log" and not each.excluded
        and each.typed is not None and abs(each.typed - float(written[each.photo])) < 1e-9
    ]  # fmt: skip
    if not mine:
        return []
    widths = eye_widths(source.path)
    blind = sum(widths[each.photo][1] for each in mine if each.photo in widths)
    told = [doubt("read_by_eye", count=str(len(mine)), blind=str(blind))]
    check = eye_check(source.path)
    if check.found is None:
        return [*told, doubt("eye_not_checked", wanting=str(check.wanting))]
    apart = _between_treatments(mine)
    bias = check.found.bias
    most = max(abs(bias.low), abs(bias.high))
    if apart is not None and most >= COMPARABLE * apart:
        told.append(
            doubt("eye_as_large_as_difference", second=check.lines()[0], apart=f"{apart:.2g} µm")
        )
    return told


def _between_treatments(readings):
    """The largest difference between heat treatments, of means at the stages that all have."""
    by_treatment: dict[str, dict[float, list[float]]] = defaultdict(lambda: defaultdict(list))
    for each in readings:
        by_treatment[each.heat_treatment][each.cuts].append(each.typed)
    shared = set.intersection(*(set(stages) for stages in by_treatment.values()))
    if len(by_treatment) < 2 or not shared:
        return None
    means = [mean(mean(stages[stage]) for stage in shared) for stages in by_treatment.values()]
    return max(means) - min(means)

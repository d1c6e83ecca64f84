"""The one error a user meets: what is wrong, where it stands, how to mend it."""

import re
from collections.abc import Iterable
from difflib import SequenceMatcher

# Ratio of Ratcliff and Obershelp (difflib) from which two words count as one mistyped: of two
# dozen pairs tried, the least of slips was 0.67 ("width_mm" for "edge_width_um"), the greatest of
# words that have nothing to do with each other 0.55 ("sharp" and "shaves").
_ALIKE = 0.65
MOST_ROWS = 5  # named of one fault, unless they follow each other


class UnusableInput(ValueError):  # noqa: N818 - the name is what the maker is told
    """Input we cannot use: what is wrong, where it stands, how to mend it."""

    def __init__(self, what: str, where: str, mend: str) -> None:
        super().__init__(what, where, mend)  # all three in args: survives a process pool
        self.what, self.where, self.mend = what, where, mend

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.mend}"


class ManyFaults(UnusableInput):
    """Several faults of one input, collected so that they can be mended in one go."""

    def __init__(self, faults: Iterable[UnusableInput]) -> None:
        faults = each_fact_once(faults)
        first = faults[0]
        super().__init__(first.what, first.where, first.mend)
        self.args = (faults,)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


def each_fact_once(faults: Iterable[UnusableInput]) -> tuple[UnusableInput, ...]:
    """Faults of several rows that are one and the same, told once with the rows that they touch."""
    same: dict[tuple[str, str, str], list[UnusableInput]] = {}
    for fault in faults:
        row = getattr(fault, "row", None)
        place = fault.where.replace(f", row {row}", ", row", 1)
        same.setdefault((place, fault.what, fault.mend), []).append(fault)
    return tuple(_of_rows(*fact, found) for fact, found in same.items())


def _of_rows(place: str, what: str, mend: str, found: list[UnusableInput]) -> UnusableInput:
    """One fault for all: the first itself where it is the only one."""
    rows = sorted({row for one in found if (row := getattr(one, "row", None)) is not None})
    if len(rows) < 2:
        return found[0]
    told = f"{rows[0]} to {rows[-1]}"
    if rows[-1] - rows[0] >= len(rows):
        more = f" and {len(rows) - MOST_ROWS} more" if len(rows) > MOST_ROWS else ""
        told = ", ".join(map(str, rows[:MOST_ROWS])) + more
    if len(rows) == 2:
        told = f"{rows[0]} and {rows[1]}"
    return UnusableInput(
        f"{what} ({len(rows)} rows)", place.replace(", row", f", rows {told}", 1), mend
    )


# What makers also call a word of the program; common practice, no source.
ALSO_CALLED = {
    "axe": "chopper", "hatchet": "chopper", "machete": "chopper", "cleaver": "chopper",
    "billhook": "hedging_tool", "slasher": "hedging_tool", "hook": "hedging_tool",
    "rust": "none", "rusty": "none", "mill_scale": "none", "scale": "none", "bare": "none",
    "paint": "painted", "zinc": "galvanised", "chrome": "plated", "chromed": "plated",
}  # fmt: skip


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a mistyped one is most like, begins, is a part of, or also called."""
    typed = re.sub(r"[\W_]+", "_", word.casefold())
    known = list(known)
    also = ALSO_CALLED.get(typed) or ALSO_CALLED.get(typed.removesuffix("s"))  # or of several
    for name in known:
        if re.sub(r"[\W_]+", "_", name.casefold()) == also:
            return name
    near = {}
    for name in known:
        compared = SequenceMatcher(None, typed, re.sub(r"[\W_]+", "_", name.casefold()))
        begun = len(typed) > 2 and name.casefold().startswith(typed)
        if begun or typed in re.split(r"[\W_]+", name.casefold()) or _alike(compared):
            near[name] = compared.ratio()
    return max(near, key=lambda name: near[name], default=None)


def _alike(compared: SequenceMatcher[str]) -> bool:
    """Whether two words are alike; the bounds spare the work where a word is far longer."""
    return min(compared.real_quick_ratio(), compared.quick_ratio()) >= _ALIKE and (
        compared.ratio() >= _ALIKE
    )

"""Does a log from a file name the rolls of the plan, and how is that mended?"""

from dataclasses import dataclass
from pathlib import Path

from edgetest.store.log_sheet import sheet_of
from edgetest.study.words import counted, listed


@dataclass(frozen=True)
class RollsMissing:
    """Rows of a log that name no roll, or none of the plan's.

    Attributes
    ----------
    unnamed : int
        Rows without a roll, of blades that the plan laid on one.
    strange : tuple of str
        Rolls of the file that the plan does not have.
    rolls : tuple of str
        Those of the plan.
    known : dict of str to str
        The roll of each blade that has only one in the plan: it can be filled in.
    """

    unnamed: int
    strange: tuple[str, ...]
    rolls: tuple[str, ...]
    known: dict[str, str]

    def summary(self):
        """What is missing and what comes of it."""
        parts = [f"The plan has {counted(len(self.rolls), 'roll')}: {listed(self.rolls)}."]
        if self.unnamed:
            parts.append(f"{counted(self.unnamed, 'row')} of this file name none.")
        if self.strange:
            parts.append(f"The plan does not know {listed(self.strange)}.")
        parts.append(
            "Taken like this, the bench asks for these readings again, and the comparison cannot "
            "take the rolls into account."
        )
        return " ".join(parts)


def rolls_missing(study, log):
    """What a log leaves out of the plan's rolls.

    Parameters
    ----------
    study : Study
    log : Log
        A log without faults.

    Returns
    -------
    RollsMissing or None
        None where the plan has no rolls, or the log names them all.
    """
    order = [(str(block), str(blade)) for block, blade in (study.plan or {}).get("order", ())]
    rolls = tuple(dict.fromkeys(block for block, _ in order if block))
    if not rolls:
        return None
    of_blade = _rolls_of_blades(order)
    unnamed = sum(not row.block and row.blade in of_blade for row in log.rows)
    strange = tuple(dict.fromkeys(r.block for r in log.rows if r.block and r.block not in rolls))
    if not unnamed and not strange:
        return None
    known = {blade: next(iter(some)) for blade, some in of_blade.items() if len(some) == 1}
    return RollsMissing(unnamed, strange, rolls, known)


def _rolls_of_blades(order):
    found: dict[str, set[str]] = {}
    for block, blade in order:
        found.setdefault(blade, set()).add(block)
    return found


def with_rolls(data, missing):
    """A log in CSV with the rolls filled in of the blades that have only one in the plan.

    Parameters
    ----------
    data : bytes
    missing : RollsMissing

    Returns
    -------
    bytes

    Raises
    ------
    UnusableInput
        If it is no CSV.
    """
    sheet = sheet_of(data, Path("log.csv"))
    sheet.add_columns({"block": ""})
    for number, cells in list(sheet.rows()):
        roll = missing.known.get(cells.get("blade", ""))
        if number > sheet.top + 1 and roll and not cells.get("block"):
            sheet.fill(number, {"block": roll})
    return sheet.to_bytes()

"""Which trials were held against a blade that nobody named, or against two?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.steel_rows import IN_EVIDENCE, CouponTrial, SteelRows


def beside_unsaid(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about trials that were held against a blade that is not named."""
    for k, trial in enumerate(rows.trials, 1):
        if _unsaid(trial):
            said = trial.result or "a life"
            what = f"{said} beside which blade is not said, and it counts as beside a known one"
            mend = "add beside = its name; if there was none, take result and life_ratio out"
            yield UnusableInput(what, f"{IN_EVIDENCE}, trials {k}, beside", mend)


def beside_two(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about a blade that was held against known blades of more than one name."""
    told: dict[tuple, str] = {}
    for k, trial in enumerate(rows.trials, 1):
        beside, blade = " ".join(trial.beside.split()), trial.blade or trial.coupon
        if not beside or not blade:
            continue
        first = told.setdefault((trial.piece or rows.piece_names[0], blade), beside)
        if first.casefold() != beside.casefold():
            what = f'"{beside}" is another known blade than "{first}", beside which {blade} ran too'
            mend = "write one name if they are one blade; if not, leave it"
            yield UnusableInput(what, f"{IN_EVIDENCE}, trials {k}, beside", mend)


def beside_unsaid_doubts(rows: SteelRows) -> Iterator[Doubt]:
    """A doubt for each such trial, for the chance of its piece rests on it."""
    for trial in filter(_unsaid, rows.trials):
        piece = trial.piece or rows.piece_names[0]
        who = f"{trial.blade or trial.coupon or 'what was tried'} of {piece}"
        yield doubt("beside_not_named", who=who, where=Where(STUDY_FILE, value=piece))


def _unsaid(trial: CouponTrial) -> bool:
    compared = trial.result is not None or trial.life_ratio is not None
    return compared and not trial.beside.strip()

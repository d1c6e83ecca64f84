"""Which trials by chopping may be of blades for another use than the one asked about?"""

from collections.abc import Iterable, Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import IN_EVIDENCE, CouponTrial, SteelRows
from edgetest.study.words import listed

NO_CHOPPING = ("knife", "chisel")  # uses whose tools do not chop
USE_UNSAID = "trial_use_unsaid"


def use_unsaid(rows: SteelRows, use: str | None) -> Iterator[UnusableInput]:
    """Questions about chops in a study of a use that is no chopping, as in a copied folder."""
    for k, _ in _chopped(rows, use):
        what = f"it chopped, and this study is for a {use}: was that blade made for another use"
        mend = (
            'if it was, as in a copied folder, add use = "chopper" (or its use): it then '
            f'counts neither way here; else add use = "{use}"'
        )
        yield UnusableInput(what, f"{IN_EVIDENCE}, trials {k}, use", mend)


def use_unsaid_doubts(rows: SteelRows, use: str | None) -> Iterator[Doubt]:
    """One doubt for all such trials: the verdict takes each as work of the use asked about."""
    blades: dict[str, list[str]] = {}
    for _, trial in _chopped(rows, use):
        name = trial.blade or trial.coupon or "a blade"
        named = blades.setdefault(trial.piece or rows.piece_names[0], [])
        named += [] if name in named else [name]
    if blades:
        who = listed([f"{listed(named)} of {piece}" for piece, named in blades.items()])
        yield doubt(USE_UNSAID, where=Where(STUDY_FILE, value=who), who=who, use=spaced(use or ""))


def asking_use(said: str, doubts: Iterable[Doubt]) -> str:
    """A headline with the question of such a use behind its first sentence, where it is asked."""
    asked = [one.text for one in doubts if one.code == USE_UNSAID]
    step, stop, more = said.partition(". ")
    return " ".join(filter(None, (f"{step}." if stop else step, *asked, more)))


def _chopped(rows: SteelRows, use: str | None) -> Iterator[tuple[int, CouponTrial]]:
    """Chops of blades of which nobody said what they were made for, each with its number."""
    for k, trial in enumerate(rows.trials, 1):
        if use in NO_CHOPPING and trial.test == "chop" and trial.use is None:
            yield k, trial

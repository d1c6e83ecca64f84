"""What may be asked of a plan: what it is to show, and what is believed beforehand."""

from dataclasses import dataclass
from pathlib import Path

from edgetest.errors import UnusableInput

ONE_ROLL = ("roll 1",)
# Draws the made-up studies that chances and numbers come from, in every plan alike: the number
# of the draw is the order's, and one question has one answer whatever order was drawn.
NUMBERS_SEED = 1
NO_SHARE = 3.0  # a scatter of log life that nobody can mean; a choice
USUAL_SEED = 1  # of an order, where nobody names one


@dataclass(frozen=True)
class PlanOptions:
    """What a study is to show, and what is believed beforehand.

    Attributes
    ----------
    ratio : float
        Ratio of lives worth knowing; of chops to sever or of depths in a chop test.
    sd_blades : float, optional
        Blade-to-blade SD of log life, readings left out; default: from `history`, else assumed.
    history : sequence of path
        Earlier studies on the same protocol, or folders of studies.
    blocks : sequence of str, optional
        Rolls, boards or days, in the order in which they come; None keeps the order that the
        study has, if it holds all its blades. Each board gives a piece to every blade, one that is
        named twice two.
    seed : int, optional
        Draws the order alone; the same seed gives the same order. None: of a test under way that
        of the order which it has, else 1.
    life : float, optional
        Cuts that a blade is thought to last; default: two thirds of the last stage.
    fresh : float, optional
        What a fresh edge reads, in the unit of the reading (of a chop test: chops that a piece
        takes); default: the log's own readings at 0 cuts, else what edge widths usually are.
    limit : float, optional
        Reading that ends a life; default: the study's or the protocol's.
    reading_cv : float, optional
        Relative uncertainty of one reading; default: from the study's kept repeatability,
        else assumed.
    runs : int
        Times that each blade is cut, every time sharpened anew and under another roll; of pieces
        to sever how many each board gives to every blade.
    power, level : float
        Chance to show the ratio; coverage of the interval.
    looks : bool
        Fix looks before the test: it may then be read at every blade a side, and end early.
    most : int, optional
        Greatest number of blades a side that the looks go to; default: 8.
    anew : bool
        Of a wear test under way: what was begun stands, and only what is left is drawn.
    """

    ratio: float = 1.25
    sd_blades: float | None = None
    history: tuple[Path, ...] = ()
    blocks: tuple[str, ...] | None = ONE_ROLL
    seed: int | None = None
    life: float | None = None
    fresh: float | None = None
    limit: float | None = None
    reading_cv: float | None = None
    runs: int = 1
    power: float = 0.8
    level: float = 0.95
    looks: bool = False
    most: int | None = None
    anew: bool = False

    @property
    def drawn_with(self):
        """The number that draws the order, the usual one where nobody named any."""
        return USUAL_SEED if self.seed is None else self.seed

    def scatter_given(self):
        """The scatter as it was given; None where nobody gave any.

        Raises
        ------
        UnusableInput
            Where it can only be a percentage: lives would differ twentyfold and more.
        """
        sd = self.sd_blades
        if sd is not None and sd >= NO_SHARE:
            what = f"a scatter of {sd:g} is {100 * sd:g} %"
            raise UnusableInput(what, "scatter (--sd)", f"write {sd / 100:g} for {sd:g} %")
        return sd


USUAL_PLAN = PlanOptions()

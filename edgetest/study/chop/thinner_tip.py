"""What a thinner tip would do to a tool, as wide as its shape and its swing stand apart."""

import numpy as np

from edgetest.chop.balances_compared import apart_share, widened
from edgetest.chop.predict import what_if
from edgetest.chop.tool_outline import thinned
from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.study.chop.chop_result import Thinning
from edgetest.study.chop.foretold import foretold
from edgetest.study.words import listed

WORDS = {
    "mass_g": "mass",
    "inertia_grip_kg_cm2": "inertia about the grip",
    "balance_mm": "balance from the butt",
    "percussion_mm": "percussion centre",
    "inertia_balance_kg_cm2": "inertia about the balance point",
    "effective_mass_free_g": "mass behind the blow",
    "effective_mass_gripped_g": "mass behind the blow, gripped",
}  # those told first come first
_BEGIN = 'begin past {:g} mm from the butt, or write inches with their unit, "9.4 in"'
TOLD = 2  # figures named of those that do not fit; our choice


def thinner_tip(blade, placed, taper, *, swung, seed, level=0.95):
    """A blade as it is and with a taper.

    Parameters
    ----------
    blade : str
    placed : tuple
        Its Outline, and the Hold that says where it is held and strikes.
    taper : tuple of 2 floats
        From where, mm from the butt, and how thick at the tip, mm.
    swung : SideBySide or None
        Its swing as measured beside that of the shape, where both are known.
    seed : int
        Of the Monte Carlo.
    level : float

    Returns
    -------
    Thinning
        Where the shape does not fit the tool that was weighed and timed, with wider intervals and
        a doubt that says so.

    Raises
    ------
    UnusableInput
        If the taper is off the blade, begins in its handle, ends in nothing or takes nothing off.
    """
    shape, hold = placed
    changed, rng = thinned(shape, *taper), np.random.default_rng(seed)
    _refuse_idle(blade, shape, changed, *taper)
    before, after, compared = what_if(shape, changed, hold, rng=rng, level=level, foretell=foretold)
    share = apart_share(swung)
    apart = share and doubt(
        "shape_apart_from_tool", blade=blade, apart=_apart_words(swung),
        share=f"{100 * share:.0f}", where=Where(blade=blade),
    )  # fmt: skip
    from_mm, tip_mm = map(float, taper)
    told = (apart,) if apart else ()
    compared = widened(compared, share)
    return Thinning(blade, from_mm, tip_mm, before, after, compared, changed, told)


def _refuse_idle(blade, shape, changed, from_mm, tip_mm):
    """Refuse a taper that nobody would grind, such as one whose inches were typed as mm."""
    where = f"the thinner tip of {blade}"
    if tip_mm <= 0:
        what, mend = f"{tip_mm:g} mm at the tip is no blade any more", "give what is to be left"
        raise UnusableInput(what, where, f"{mend}, such as 1.5 mm")
    half = float(shape.x_mm[0] + shape.x_mm[-1]) / 2
    for part in shape.parts:
        if part.from_mm < half and from_mm < part.to_mm:
            what = f"a taper from {from_mm:g} mm begins before the end of {part.name}"
            raise UnusableInput(what, where, _BEGIN.format(part.to_mm))
    left = np.interp(changed.x_mm, shape.x_mm, shape.thickness_mm) - changed.thickness_mm
    if not (left > 0).any():
        what = f"a taper from {from_mm:g} mm to {tip_mm:g} mm takes nothing off"
        own = f"it is {shape.thickness_mm[-1]:g} mm thick at the tip"
        raise UnusableInput(what, where, f"{own}: name a thinner tip")


def _apart_words(swung):
    """The figures that differ most plainly: "mass (467 g by the shape, 690 measured)"."""
    rows = {row["figure"]: row for row in swung.rows if not row["agree"]}
    told = [name for name in WORDS if name in rows][:TOLD]
    return listed(
        f"{WORDS[name]} ({rows[name]['second']:.0f} {rows[name]['unit']} by the shape,"
        f" {rows[name]['first']:.0f} measured)"
        for name in told
    )

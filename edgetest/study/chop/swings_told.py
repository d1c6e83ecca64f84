"""Can the swing that `[handling]` tells of a tool be, and is it the swing of such a tool?"""

from collections.abc import Iterator, Mapping

import numpy as np

from edgetest.chop.pendulum import as_swung, hung_as
from edgetest.chop.swing_counts import bound_doubts, counted_alike
from edgetest.chop.tool_outline import Outline
from edgetest.doubts import Doubt
from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.chop.handling import Handling


def lengths_of(
    study: Study, handling: Mapping[str, Handling], outlines: Mapping[str, Outline]
) -> dict[str, float]:
    """Length of every tool that is held, mm: as held, as drawn, or as typed of the blade.

    A blade's length that does not reach the strike point is of a part of the tool, and not used.
    """
    found = {name: float(drawn.x_mm[-1]) for name, drawn in outlines.items()}
    of_blades = {blade.id: blade.length_mm for blade in study.blades} if handling else {}
    for name, held in handling.items():
        typed = of_blades[name]
        if held.length_mm is not None:
            found[name] = float(held.length_mm)
        elif name not in found and typed is not None and typed >= held.strike_mm:
            found[name] = float(typed)
    return found


def swing_faults(
    handling: Mapping[str, Handling], lengths: Mapping[str, float]
) -> list[UnusableInput]:
    """What is impossible in the pendulum test of each tool, with its place in study.toml.

    Parameters
    ----------
    handling : mapping of str to Handling
    lengths : mapping of str to float
        As `lengths_of` gives them.

    Returns
    -------
    list of UnusableInput
    """
    found = []
    for name, held in handling.items():
        test = held.swing_test()
        try:
            if test is not None:
                as_swung(test, held.hold(lengths.get(name)))
        except UnusableInput as fault:
            where = f"{STUDY_FILE}, handling.{name}, {fault.where}"
            found.append(UnusableInput(fault.what, where, fault.mend))
    return found


def beyond_bound(held: Handling, length_mm: float | None) -> Iterator[Doubt]:
    """That a tool swings too slowly or too fast for its weight and places; nothing if it cannot."""
    test, hold = held.swing_test(), held.hold(length_mm)
    if test is None:
        return
    try:
        timed, best = as_swung(test, hold)
    except UnusableInput:
        return  # a fault, told as one
    yield from bound_doubts(
        hung_as(test, hold), best[2], timed.seconds * timed.swings, timed.swings
    )


def counted_unlike(held: Handling) -> tuple[Doubt, ...]:
    """That timings of a tool are off by whole swings from the others; () where none is."""
    test = held.swing_test()
    if test is None:
        return ()
    return counted_alike(np.atleast_1d(np.asarray(test.seconds, float)), test.swings).doubts

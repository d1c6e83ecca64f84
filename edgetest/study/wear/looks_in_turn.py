"""Do the looks of a test fall where the order of its runs leaves blades that are done?"""

from edgetest.doubts import doubt
from edgetest.study.words import listed
from edgetest.wear.plan.planned_runs import CONTROL


def looks_in_turn(runs, sizes):
    """The doubt of looks that fall within a roll, whose blades all wait for their next stage.

    Parameters
    ----------
    runs : sequence of Run
        In their order. The blades of a block have their turn at a stage before the next stage, so
        they are done together.
    sizes : sequence of int
        Blades a side at each look.

    Returns
    -------
    list of Doubt
        None where each look of the blades there are falls at the end of a block.
    """
    done = _done_after(runs)
    if not done:
        return []
    most, ends = max(done.values()), {*done.values()}
    within = [size for size in sizes if size <= most and size not in ends]
    if not within:
        return []
    told = listed(f"{count} after {block}" for block, count in done.items())
    sizes_told = listed(map(str, within))
    which = f"The look at {sizes_told} a side falls"
    if len(within) > 1:
        which = f"The looks at {sizes_told} a side fall"
    return [doubt("looks_within_a_block", which=which, done=told)]


def _done_after(runs):
    """Blades a side whose last run is over, by the block that ends."""
    own = [run for run in runs if run.treatment != CONTROL]
    last = {run.blade: run.block for run in own}
    of = {run.blade: run.treatment for run in own}
    counts = dict.fromkeys(of.values(), 0)
    done = {}
    for block in dict.fromkeys(run.block for run in own):
        for blade, end in last.items():
            counts[of[blade]] += end == block
        done[block] = min(counts.values())
    return done

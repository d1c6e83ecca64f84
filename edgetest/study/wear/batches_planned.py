"""Do the blades of a study come out of batches that can speak for their heat treatments?"""

from collections import Counter

from edgetest.doubts import doubt
from edgetest.stats.power import SIMULATED
from edgetest.study.near_labels import blade_slips
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.words import listed
from edgetest.wear.plan.planned_runs import CONTROL

MOST_NAMED = 6  # blades that are named one by one
COUNTED = "The comparison will count each batch once, so of results it sees {batches}, not {count}."
NOT_COUNTED = (
    "Blades of one batch share its luck, so they tell of the heat treatment as {batches} would, "
    "not {count}; a chop test counts every blade, and its interval will be too narrow."
)

NAMED = " whose batch is named"
BESIDE = (
    " Until its own is named, such a blade counts as out of one batch with others of its heat "
    "treatment or, where a batch holds every heat treatment, out of one of its own."
)


def batch_doubts(study, *, rolls=1, looks=False):
    """What is doubtful about the quench and temper batches of a study's blades.

    Parameters
    ----------
    study : Study
    rolls : int or None
        Rolls or days of a wear test: where there is one, a batch that every heat treatment
        shares takes its place in the comparison. None: a chop test, which counts blades.
    looks : bool
        Whether looks are fixed, which name blades and count batches.

    Returns
    -------
    list of Doubt
        Blades of one heat treatment, which compare nothing, blades without a batch, names of
        batches that may be one, heat treatments that came out of one batch of their own, those of
        whose blades several share a batch, which then counts once, and batches that every heat
        treatment shares.
    """
    blades = [blade for blade in study.blades if blade.id != study.control]
    bare = [blade.id for blade in blades if not blade.batch]
    titles = titles_of(study)
    found = [] if rolls is None else _of_one_treatment(blades, titles)
    if bare:
        many = len(bare) > MOST_NAMED or len(bare) == len(blades) > 1
        words = f"{len(bare)} blades" if many else listed(bare)
        beside = BESIDE if len(bare) < len(blades) else ""
        found.append(doubt("batches_unplanned", blades=words, beside=beside))
    found += nearly_alike_batches(blades)
    found += [
        doubt("one_batch_each", treatment=titles.get(name, name), noted=NAMED if some else "")
        for name, some in _of_one_batch(blades)
    ]
    found += _looks_counted(blades) if looks else []
    return found if bare else [*found, *_batches_counted(blades, titles, rolls)]


def _of_one_treatment(blades, titles):
    """The doubt that several blades of one heat treatment compare nothing."""
    alike = {blade.heat_treatment for blade in blades}
    if len(blades) < 2 or len(alike) > 1 or not all(alike):
        return []
    (name,) = alike
    return [doubt("nothing_planned_apart", treatment=titles.get(name, name))]


def _looks_counted(blades):
    """The doubt that looks count batches, where several blades of one heat treatment share one."""
    held = Counter((blade.heat_treatment, blade.batch) for blade in blades if blade.batch)
    sides = Counter(batch for _, batch in held)
    often = [batch for (_, batch), count in held.items() if count > 1 and sides[batch] == 1]
    return [doubt("looks_count_batches", batches=", ".join(often))] if often else []


def nearly_alike_batches(blades):
    """The doubts about batches whose names a slip parts, so that one may count as two."""
    pairs = blade_slips(blades, "batch")
    return [doubt("batches_nearly_alike", rare=rare, usual=usual) for usual, rare in pairs]


def _batches_counted(blades, titles, rolls):
    """Where the comparison will count batches and not blades, or compare within them."""
    held: dict[str, list] = {}
    for blade in blades:
        held.setdefault(blade.heat_treatment, []).append(blade.batch)
    if len(held) < 2:
        return []
    shared = set.intersection(*map(set, held.values()))
    if shared:
        more = len(set().union(*held.values())) > 1
        names = listed(f'"{name}"' for name in sorted(shared))
        return [doubt("batches_shared", batches=names)] if rolls == 1 and more else []
    if any(len(set(own)) < 2 for own in held.values()):
        return []
    often = {name: own for name, own in held.items() if len(set(own)) < len(own)}
    return [_counted_once(often, titles, rolls)] if often else []


def _counted_once(often, titles, rolls):
    """The doubt that each batch counts once: one for all heat treatments of whom it is true."""
    sizes = [(len(own), len(set(own))) for own in often.values()]
    which = listed(
        f"{'the' if i else 'The'} {count} blades of {titles.get(name, name)} come out of "
        f"{batches} batches"
        for i, (name, (count, batches)) in enumerate(zip(often, sizes, strict=True))
    )
    told = (listed(dict.fromkeys(numbers)) for numbers in zip(*sizes, strict=True))
    count, batches = (f"{each} of each" if len(sizes) > 1 else each for each in told)
    how = (NOT_COUNTED if rolls is None else COUNTED).format(count=count, batches=batches)
    return doubt("batches_count_once", which=which, counted=how)


def uneven_doubts(runs, study=None, need=None):
    """Heat treatments whose blades do not divide over the rolls, boards or days of an order.

    None where every roll holds the heat treatments in one and the same shares: rolls of 2 and of
    8 runs cost nothing there.

    Parameters
    ----------
    runs : sequence of Run
    study : Study, optional
        For the titles of its heat treatments.
    need : StudyPlan, optional
        What the plan says of other numbers of blocks: those alone are bidden by which its own
        chance gains.

    Returns
    -------
    list of Doubt
    """
    blocks = len({run.block for run in runs})
    held = Counter(run.treatment for run in runs if run.treatment != CONTROL)
    found: list = []
    if len(held) > 1 and _shared_alike(runs, held):
        return found
    for name, count in held.items():
        if count % blocks:
            take = _better_over(need)
            title = titles_of(study).get(name, name)
            found.append(
                doubt("blades_uneven", count=count, treatment=title, blocks=blocks, take=take)
            )
    return found


def _better_over(need):
    """Over how many blocks the runs divide and the plan's chance gains, in words; else ""."""
    helps = need.blocks_that_help() if need else {}
    if not helps:
        return ""
    about = "about " if any(power.how == SIMULATED for power in helps.values()) else ""
    told = " or ".join(f"{100 * power.value:.0f} % over {n}" for n, power in helps.items())
    return f" By this plan its own chance is better where they do: {about}{told}."


def _shared_alike(runs, held):
    """Whether each block holds the heat treatments in the shares of the whole test."""
    own = [run for run in runs if run.treatment != CONTROL]
    in_block = Counter(run.block for run in own)
    there = Counter((run.block, run.treatment) for run in own)
    return all(
        there[block, name] * len(own) == size * count
        for block, size in in_block.items()
        for name, count in held.items()
    )


def _of_one_batch(blades):
    """Heat treatments whose blades, two or more, have one batch named that no other one has.

    With each, whether the batch of some of its blades is not named.
    """
    batches: dict[str, list] = {}
    for blade in blades:
        if blade.heat_treatment:
            batches.setdefault(blade.heat_treatment, []).append(blade.batch or "")
    for name, own in batches.items():
        others = {batch for other, held in batches.items() if other != name for batch in held}
        named = set(own) - {""}
        if len(own) > 1 and len(named) == 1 and not named & others:
            yield name, "" in own

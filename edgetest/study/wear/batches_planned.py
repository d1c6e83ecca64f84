"""Do the blades of a study come out of batches that can speak for their heat treatments?"""

from collections import Counter

from edgetest.doubts import doubt
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.words import listed
from edgetest.wear.plan.planned_runs import CONTROL

MOST_NAMED = 6  # blades that are named one by one
COUNTED = {
    True: "The chance of this study's own blades counts that; the number of blades needed takes "
    "every blade as hardened by itself.",
    False: "The chances told here count blades, and are too high.",
}


def batch_doubts(study, *, counted=True):
    """What is doubtful about the quench and temper batches of a study's blades.

    Parameters
    ----------
    study : Study
    counted : bool
        Whether the chances of the study's own blades count batches.

    Returns
    -------
    list of Doubt
        Blades without a batch, heat treatments that came out of one batch of their own, and
        those of whose blades several share a batch, which then counts once.
    """
    blades = [blade for blade in study.blades if blade.id != study.control]
    bare = [blade.id for blade in blades if not blade.batch]
    found = []
    if bare:
        many = len(bare) > MOST_NAMED or len(bare) == len(blades) > 1
        words = f"{len(bare)} blades" if many else listed(bare)
        found.append(doubt("batches_unplanned", blades=words))
    titles = titles_of(study)
    found += [
        doubt("one_batch_each", treatment=titles.get(name, name)) for name in _of_one_batch(blades)
    ]
    return found if bare else [*found, *_batches_counted(blades, titles, counted)]


def _batches_counted(blades, titles, counted):
    """Where the comparison will count batches and not blades."""
    held: dict[str, list] = {}
    for blade in blades:
        held.setdefault(blade.heat_treatment, []).append(blade.batch)
    several = all(len(set(own)) > 1 for own in held.values())
    if not several or len(held) < 2 or set.intersection(*map(set, held.values())):
        return []
    return [
        doubt(
            "batches_count_once",
            count=len(own),
            treatment=titles.get(name, name),
            batches=len(set(own)),
            chances=COUNTED[counted],
        )
        for name, own in held.items()
        if len(set(own)) < len(own)
    ]


def uneven_doubts(runs, study=None):
    """Heat treatments whose blades do not divide over the rolls, boards or days of an order.

    Parameters
    ----------
    runs : sequence of Run
    study : Study, optional
        For the titles of its heat treatments.

    Returns
    -------
    list of Doubt
    """
    blocks = len({run.block for run in runs})
    held = Counter(run.treatment for run in runs if run.treatment != CONTROL)
    found = []
    for name, count in held.items():
        if count % blocks:
            take = " or ".join(str(n) for n in range(count, 0, -1) if count % n == 0)
            title = titles_of(study).get(name, name)
            found.append(
                doubt("blades_uneven", count=count, treatment=title, blocks=blocks, take=take)
            )
    return found


def _of_one_batch(blades):
    """Heat treatments whose blades, two or more, share a batch that no other one has."""
    batches: dict[str, list] = {}
    for blade in blades:
        if blade.batch and blade.heat_treatment:
            batches.setdefault(blade.heat_treatment, []).append(blade.batch)
    for name, own in batches.items():
        others = {batch for other, held in batches.items() if other != name for batch in held}
        if len(own) > 1 and len(set(own)) == 1 and own[0] not in others:
            yield name

"""In how many steps do two heat treatments differ, so that no ratio says which of them did it?"""

from edgetest.doubts import doubt
from edgetest.study.treatment_questions import parted_before, same_steps, tempered_apart
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.words import listed

NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}


def changed_steps(first, second):
    """Kinds of step in which two heat treatments differ, in the order of their steps.

    Parameters
    ----------
    first, second : HeatTreatment

    Returns
    -------
    list of str
        Such as ["normalise", "temper"]; empty where one has no steps noted. Steps of one kind
        count once, however many there are.
    """
    if not (first.steps and second.steps):
        return []
    kinds = dict.fromkeys(step.kind for step in (*first.steps, *second.steps))
    return [kind for kind in kinds if _of_kind(first, kind) != _of_kind(second, kind)]


def _of_kind(treatment, kind):
    """The steps of a kind as they are said, notes left out."""
    return [step.words() for step in treatment.steps if step.kind == kind]


def _in_words(kind, pair, titles):
    """A kind of step; where one of the two alone has it noted, that one is named."""
    noted = [title for each, title in zip(pair, titles, strict=True) if _of_kind(each, kind)]
    alone = f" (noted of {noted[0]} alone)" if len(noted) == 1 else ""
    return kind.replace("_", " ") + alone


def step_doubts(study, comparison):
    """What the noted steps leave open about what was compared.

    That they are the very same ones; that more than one of them was changed; that blades of a
    batch were tempered or hardened apart, so that the batch says nothing of the loads of that.

    Parameters
    ----------
    study : Study
    comparison : Comparison

    Returns
    -------
    list of Doubt
    """
    titles, compared = titles_of(study), {group.treatment for group in comparison.groups}
    quenched = [
        batch
        for batch, treatments in tempered_apart(study)
        if len(compared.intersection(each.id for each in treatments)) > 1
    ]
    doubts = [doubt("tempered_apart", batches=_batches(quenched))] if quenched else []
    doubts += _parted(study, compared)
    doubts += [
        doubt("same_steps", first=titles.get(a.id, a.id), second=titles.get(b.id, b.id))
        for a, b in same_steps(study)
        if {a.id, b.id} <= compared
    ]
    names = comparison.first, comparison.second
    first, second = (titles.get(name, name) for name in names)
    known = {treatment.id: treatment for treatment in study.heat_treatments}
    if not all(name in known for name in names):
        return doubts
    pair = [known[name] for name in names]
    kinds = changed_steps(*pair)
    if len(kinds) < 2:
        return doubts
    kinds = [_in_words(kind, pair, (first, second)) for kind in kinds]
    steps = f"{', '.join(kinds[:-1])} and {kinds[-1]}"
    count = NUMBERS.get(len(kinds), str(len(kinds))).capitalize()
    words = {"count": count, "first": first, "second": second, "steps": steps}
    return [*doubts, doubt("several_steps_changed", **words)]


def _parted(study, compared):
    """The doubt about batches whose blades part before the temper, of heat treatments compared."""
    found = [
        (batch, kinds)
        for batch, kinds, treatments in parted_before(study)
        if len(compared.intersection(each.id for each in treatments)) > 1
    ]
    if not found:
        return []
    batches = _batches([batch for batch, _ in found])
    steps = listed(dict.fromkeys(kind for _, kinds in found for kind in kinds))
    return [doubt("parted_before_the_batch", batches=batches, steps=steps)]


def _batches(names):
    return f"the batch {names[0]}" if len(names) == 1 else f"the batches {listed(names)}"

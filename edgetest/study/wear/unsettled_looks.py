"""A look ends no test while page one takes no answer: what is not settled yet goes on."""

from dataclasses import replace

from edgetest.study.wear.choice import takes_an_answer
from edgetest.wear.compare.looks import NO_LOOK


def with_look_unsettled(result):
    """The result, its look going on where something stands before any choice.

    Such is a verdict that hangs on the law of wear or on one reading, or a doubt that decides; of
    several heat treatments also that more than one of them is left. An interval that holds over
    all looks stays valid where a test goes on that might have stopped.

    Parameters
    ----------
    result : StudyResult

    Returns
    -------
    StudyResult
    """
    found, compared = result.comparison, result.compared
    if found is None or found.look is None or found.look.decision in NO_LOOK:
        return result
    leads = compared.at_cuts is not None and compared.at_cuts.leads
    causes = [one.what for one in compared.alternatives if one.decides]
    if takes_an_answer(found, result.doubts, causes, lives_known=not leads):
        return result
    look = found.look.gone_on()
    return replace(result, compared=replace(compared, comparison=replace(found, look=look)))

"""A look ends no test while page one takes no answer: what is not settled yet goes on."""

from dataclasses import replace

from edgetest.study.wear.choice import takes_an_answer
from edgetest.wear.compare.looks import NO_LOOK


def with_look_unsettled(result, source=None):
    """The result, its look going on where something stands before any choice.

    Such is a verdict that hangs on the law of wear or on one reading, or a doubt that decides; of
    several heat treatments also that more than one of them is left. An interval that holds over
    all looks stays valid where a test goes on that might have stopped.

    Parameters
    ----------
    result : StudyResult
    source : Source, optional
        Whose log says which blades wait to be cut on: before that no look is the last.

    Returns
    -------
    StudyResult
    """
    found, compared = result.comparison, result.compared
    if found is None or found.look is None or found.look.decision in NO_LOOK:
        return result
    leads = compared.at_cuts is not None and compared.at_cuts.leads
    causes = [one.what for one in compared.alternatives if one.decides]
    look = found.look
    if not takes_an_answer(found, result.doubts, causes, lives_known=not leads):
        look = look.gone_on()
    waiting = _cut_on(result, source, look.blades) if look.decision in ("end", "futile") else ()
    look = look.too_early(waiting) if waiting else look
    return replace(result, compared=replace(compared, comparison=replace(found, look=look)))


def _cut_on(result, source, blades):
    """Blades of a look whose rows wait in the log, and whose life no reading has reached."""
    if source is None or not result.has_curves:
        return ()
    waits = {row.blade for row in source.log.rows if row.waiting}
    return [
        one.blade for one in result.fit.blades
        if one.blade in waits and one.blade in blades
        and (one.life is None or one.life.extrapolated or one.life.censored)
    ]  # fmt: skip

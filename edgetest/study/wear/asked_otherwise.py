"""Would the verdict be another one as it is usually asked for: full weights, the usual margin?

Who tries weights and margins until one of them settles it has chosen the verdict.
"""

from dataclasses import replace

from edgetest.doubts import doubt
from edgetest.study.wear.alternative_answers import finding_of
from edgetest.wear.compare.compare_lives import AS_USUAL, compare_lives

FULL_WEIGHT = "With every reading at its full weight"
USUAL_MARGIN = f"By the usual margin of {100 * AS_USUAL.margin:g} %"


def asked_otherwise(answered, curves, titles):
    """The doubts that tell of another verdict by full weights, and by the usual margin.

    Parameters
    ----------
    answered : Answered
    curves : ReadFrom or None
        Where the lives were read from wear curves.
    titles : dict of str to str
        Title of each heat treatment by its id.

    Returns
    -------
    list of Doubt
        Empty where nothing else was asked for, or the verdict is the same.
    """
    if answered.comparison.scope == "blades":
        return []
    given, options, told = finding_of(answered.comparison), answered.options, []
    if curves is not None and curves.how.robust:
        plain = curves.finding(given, how=replace(curves.how, robust=False))
        told.append((FULL_WEIGHT, plain, options.margin))
    if options.margin != AS_USUAL.margin:
        usual = compare_lives(answered.lives, replace(options, margin=AS_USUAL.margin))
        other = finding_of(usual, given.first, given.second)
        told.append((USUAL_MARGIN, other, AS_USUAL.margin))
    return [
        doubt("verdict_as_asked", way=way, says=_words(other, margin, titles))
        for way, other, margin in told
        if other is not None and _settles(other) != _settles(given)
    ]


def _settles(finding):
    """What is settled: the verdict, and whether by the margin."""
    return finding.verdict, finding.reaches_margin


def _words(finding, margin, titles):
    """The finding as a sentence says it."""
    first, second = (titles.get(name, name) for name in (finding.first, finding.second))
    said = replace(finding, first=first, second=second).summary()
    if finding.verdict in ("longer", "shorter") and not finding.reaches_margin:
        return f"{said}, and whether by more than {100 * margin:g} % is not settled"
    return said

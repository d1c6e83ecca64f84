"""What does the steel's page say first to a reader without statistics, and to one with?"""

UNSEEN = "Nothing was seen of this piece itself yet, so this page cannot tell what it is."


def plain_words(result):
    """What the chance means, in numbers of pieces; or that there is nothing to tell.

    Parameters
    ----------
    result : SteelResult

    Returns
    -------
    str
    """
    decision = result.asked.decision
    if decision.withheld:
        return ""  # said behind the headline
    if not result.weighed or decision.chance_fit is None:
        return UNSEEN
    use = f"a good {decision.use.replace('_', ' ')}" if decision.use else "a good blade"
    how = "as it is" if decision.action == "carburise" else "treated rightly"
    count = round(100 * decision.chance_fit)
    about = "fewer than 1" if count < 1 else "over 99" if count > 99 else f"about {count}"
    return (
        f"Of 100 pieces that show what this one showed, {about} would make {use}, {how}, if the "
        "trade's habits hold for your heap."
    )


def method_words(result):
    """How the chance came about, its rule by name; "" where there is none."""
    decision = result.asked.decision
    if not result.told or decision.chance_fit is None:
        return ""
    before = f" ({result.before.source})" if result.before else ""
    return f"It is what your tests make, by Bayes' theorem, of the first guess{before}."

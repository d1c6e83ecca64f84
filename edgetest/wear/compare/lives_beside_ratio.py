"""Why the ratio is not the quotient of the two lives that stand beside it, where that is seen."""

from math import inf, isfinite

from edgetest.estimate import estimate_parts, format_count, tells_nothing

READ_FROM = "What the blocks did to the lives was read from the control blade"
OF_BLOCKS = (
    "the lives hold what the blocks (rolls, boards, days) did to them, and the ratio does not"
)
OF_BOUNDS = (
    "of some blades an end of the life is known alone, and the ratio weighs all blades together "
    "where each life weighs its own"
)


def quotient_sentences(found):
    """The sentence that says why two lives and their ratio do not agree to the digits shown.

    Where a control blade told of the blocks, it says that too, whether they agree or not.

    Parameters
    ----------
    found : Comparison

    Yields
    ------
    str
        Of the quotient nothing where it is the ratio as told, or no ratio is told.
    """
    quotient = _quotient(found)
    if found.control is not None:
        if quotient:
            yield (
                "What rolls, boards or days did to the lives, as the control blade "
                f"{found.control} shows it, is taken out of the ratio: so it is not {quotient}."
            )
        else:
            yield f"{READ_FROM} {found.control}."
    elif quotient:
        why = OF_BOUNDS if "likelihood, lives" in found.ratio.method else OF_BLOCKS
        yield f"The ratio is not {quotient}: {why}."


def _quotient(found):
    """The quotient of the lives, "236 : 178 = 1.33", where it is seen to be another number."""
    ratio, life = found.ratio, {one.treatment: one.life for one in found.groups}
    above, below = life[found.second], life[found.first]
    if ratio.tells_of_first:
        above, below, ratio = below, above, ratio.inverted()
    ends = 0 < ratio.low <= ratio.high < inf and not tells_nothing(ratio.low, ratio.high)
    known = all(isfinite(one.value) and one.low > 0 for one in (above, below))
    if not (ends and known):
        return ""
    told, _ = estimate_parts(ratio.estimate, ratio.low, ratio.high, apart=1.0)
    places = len(told.partition(".")[2])
    shown = [format_count(one.value, one.low, one.high)[0] for one in (above, below)]
    over, under = (float(one.replace(",", "")) for one in shown)
    if under <= 0:
        return ""
    quotient = f"{over / under:.{places}f}"
    if told in (quotient, f"{above.value / below.value:.{places}f}"):
        return ""
    return f"{shown[0]} : {shown[1]} = {quotient}"

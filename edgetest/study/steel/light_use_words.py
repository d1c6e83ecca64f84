"""What is light use, for which a steel may still serve that is not fit for the work asked?"""

LIGHT_USE = (
    "Light use is a tool that is neither struck nor strikes, as a kitchen or garden knife is, and "
    "that dulls early (common practice, no source)."
)


def light_use_words(result) -> str:
    """What light use means, where it is what is next with a piece; "" elsewhere.

    Parameters
    ----------
    result : SteelResult
    """
    said = any(one.decision.action == "light_use" for one in (result.asked, *result.others))
    return LIGHT_USE if said else ""

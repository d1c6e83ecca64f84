"""Which tools does one tool's sheet show, and what is each called?"""


def beside(result, blade):
    """The tools that one tool's sheet shows: itself, that which it is asked to be held against,
    and the shop's own control and reference.

    The others may be other customers': what they did is told to nobody else.
    """
    shown = (blade, result.against, result.study.control, result.study.reference)
    return list(dict.fromkeys(name for name in shown if name))


def tool_title(result, blade):
    """What a tool is called in a sentence."""
    title = result.study.blade(blade).title
    return f"{blade} ({title})" if title else f"blade {blade}"

"""Which tools does one tool's sheet show, and what is each called?"""


def beside(result, blade):
    """The tools that one tool's sheet shows: itself, and the shop's own control and reference.

    The others may be other customers': what they did is told to nobody else.
    """
    own = [name for name in (result.study.control, result.study.reference) if name]
    return list(dict.fromkeys([blade, *own]))


def tool_title(result, blade):
    """What a tool is called in a sentence."""
    title = result.study.blade(blade).title
    return f"{blade} ({title})" if title else f"blade {blade}"

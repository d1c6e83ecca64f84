"""How many blades do the pieces make, by what is next with each, and what would others cost?"""

from edgetest.study.words import listed


def blades_words(result) -> str:
    """Blades by the step of their pieces, and what known steel for all costs; "" where untold.

    Parameters
    ----------
    result : SteelResult
    """
    many = {piece.id: piece.makes_blades for piece in result.seen.pieces}
    told = [one for one in (result.asked, *result.others) if many.get(one.piece)]
    if not result.begun or not told or len(many) < 2:
        return ""
    order = [*many]
    steps: dict[str, list[str]] = {}
    for one in sorted(told, key=lambda one: order.index(one.piece)):
        steps.setdefault(_step(one.decision), []).append(one.piece)
    parts = [
        f"{step}: {sum(many[name] for name in names):g} of {listed(names)}"
        for step, names in steps.items()
    ]
    bare = [name for name in order if not many[name]]
    left = f" Of {listed(bare)} nobody wrote how many they make." if bare else ""
    return f"Blades by what is next: {'; '.join(parts)}.{left} {_bought(result, told, many)}"


def _step(decision) -> str:
    """The step without its way, its coupon, and the pieces for which it holds."""
    return decision.title.partition(" (")[0].partition(";")[0].partition(":")[0]


def _bought(result, told, many) -> str:
    """What known steel costs for them, where the maker wrote what it costs for one."""
    each = result.wishes.known_steel_hours
    if each is None:
        return "What known steel for one costs is not noted."
    count = sum(many[one.piece] for one in told)
    cost = f"{count * each:.3g} h, at your {each:g} h a blade"
    return f"Known steel for all {count:g} would cost {cost}."

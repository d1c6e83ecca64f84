"""How does following one edge over two side views answer to the truth?

Places, growth and new damage.
"""

from dataclasses import dataclass, field


@dataclass
class Followed:
    """Counts of one kind of pair.

    ``short`` counts pairs of which less than a tenth of the picture is common. ``same`` to ``new``
    count clear true damage in rightly accepted pairs, and how much of it was told as it is.
    """

    pairs: int = 0
    related: int = 0
    faults: int = 0
    short: int = 0
    accepted: int = 0
    right: int = 0
    wrong: int = 0
    false_growth: int = 0
    same: list = field(default_factory=list)
    grown: list = field(default_factory=list)
    new: list = field(default_factory=list)
    invented_new: int = 0
    growth_covered: list = field(default_factory=list)
    bounds: list = field(default_factory=list)
    ms: list = field(default_factory=list)


# States that tell the user that damage grew.
GROWING = ("grown", "new")
# Pairs that share less of the picture than this need not be laid together.
LEAST_OVERLAP = 0.1


def score_pair(score, pair, result, ms, begun=(0.0, 0.0)):
    """Add one pair's answer to the counts of its kind.

    ``begun`` tells how far into either picture its measured edge begins, µm by the user's scale.
    """
    score.pairs += 1
    score.related += pair.related
    score.ms.append(ms / (pair.before.megapixels + pair.after.megapixels))
    if result is None:
        score.faults += 1
    score.short += pair.related and pair.overlap < LEAST_OVERLAP
    result = result or {}
    following = result.get("following") or result
    shift = following.get("shift_um")
    accepted = bool(following.get("accepted", shift is not None)) and shift is not None
    places = [*(result.get("chips") or ()), *(result.get("rolls") or ())]
    if not accepted:
        _not_accepted(score, pair, result, following, places)
        return
    score.accepted += 1
    off = shift + begun[1] - begun[0] - pair.shift_um
    if not pair.related or abs(off) > pair.tolerance_um:
        score.wrong += 1
        score.false_growth += any(place.get("state") in GROWING for place in places)
        return
    score.right += 1
    _fates(score, pair, places, begun[1])


def _not_accepted(score, pair, result, following, places):
    """A pair that was not laid together may tell of no growth, and its bounds must hold."""
    score.false_growth += any(place.get("state") in GROWING for place in places)
    least = result.get("new_at_least", following.get("new_at_least"))
    most = result.get("new_at_most", following.get("new_at_most"))
    if pair.related and least is not None and most is not None:
        new = [fate for fate in pair.fates if fate.state == "new"]
        score.bounds.append(least <= len(new) and sum(fate.clear for fate in new) <= most)


def _fates(score, pair, places, begun):
    """What is told of each true damage of a pair that was rightly laid together."""
    px = pair.after.um_per_px
    laid, used = [], set()
    for fate in pair.fates:
        near = [
            (abs(place["after"]["position_um"] + begun - fate.position_um), number)
            for number, place in enumerate(places)
            if place.get("after") and number not in used
        ]
        gap, number = min(near, default=(1e9, -1))
        if gap < 20 * px + 0.02 * pair.after.length_um:
            used.add(number)
            laid.append((fate, places[number]))
        elif fate.clear:
            getattr(score, fate.state).append(False)
    bad = False
    for fate, place in laid:
        state = place["state"]
        bad |= (fate.state == "same" and state in GROWING) or (
            fate.state == "grown" and state == "new"
        )
        if fate.clear:
            getattr(score, fate.state).append(state == fate.state)
        growth = place.get("growth_um")
        if fate.state != "new" and growth is not None and place.get("before"):
            true = fate.after_um - fate.before_um
            score.growth_covered.append(place["low_um"] <= true <= place["high_um"])
    invented = sum(
        place["state"] == "new" and not _true_near(place, pair, begun)
        for number, place in enumerate(places)
        if number not in used and place.get("after")
    )
    score.invented_new += invented
    score.false_growth += bool(bad or invented)


def _true_near(place, pair, begun):
    """Whether the later picture has a true damage about there, be it small or at its border."""
    at, px = place["after"]["position_um"] + begun, pair.after.um_per_px
    told = pair.after.told_um_per_px / px
    return any(
        abs(harm.position_um * told - at) < harm.length_um + 20 * px for harm in pair.after.harms
    )

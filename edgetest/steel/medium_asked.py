"""In which medium is a coupon or blade quenched that a step asks to be heat-treated again?"""

from collections.abc import Iterable

from edgetest.steel.alike_heats import ALIKE_C
from edgetest.steel.steel_cautions import QUENCH_FIRE, STEAM
from edgetest.steel.steel_seen import MEDIA, HeatSeen

USUAL_MEDIUM = "oil"  # where none was written; common practice


def medium_again(base: HeatSeen, way: str | None, own: Iterable[HeatSeen]) -> str:
    """The medium of the new heat: as it was, or slower or faster where the way asks for it.

    Slower than any water is oil while no coupon of the piece was quenched in it: oil before water.
    So it is where a heat is to be hotter, and no coupon was quenched in oil from one so hot.

    Parameters
    ----------
    base : HeatSeen
        The heat that is made again.
    way : str or None
        What is changed.
    own : iterable of HeatSeen
        All heats of the piece.
    """
    medium = base.medium if base.medium in MEDIA else USUAL_MEDIUM
    in_water, in_oil = MEDIA.index(medium) > MEDIA.index("oil"), _in_oil(own)
    if in_water and ((way == "slower_quench" and not in_oil) or _untried(way, base, in_oil)):
        return "oil"
    step = {"slower_quench": -1, "faster_quench": 1}.get(way or "", 0)
    return MEDIA[min(max(MEDIA.index(medium) + step, 0), len(MEDIA) - 1)]


def _in_oil(own):
    """The heats of a piece that were quenched in oil."""
    return [heat for heat in own if heat.medium == "oil"]


def _untried(way, base, in_oil):
    """Whether oil was tried, and never from a heat a step hotter than the one made again."""
    if way != "hotter" or not in_oil or base.heat_c is None:
        return False
    return all(heat.heat_c is None or heat.heat_c < base.heat_c + ALIKE_C for heat in in_oil)


def minded_in(cautions: Iterable[str], medium: str) -> tuple[str, ...]:
    """Cautions of a step that quenches, with those of its own medium and of no other.

    Parameters
    ----------
    cautions : iterable of str
    medium : str
        One of `MEDIA`.
    """
    told = tuple(cautions)
    places = [at for at, one in enumerate(told) if one in (QUENCH_FIRE, STEAM)]
    if not places:
        return told
    own = {"air": (), "oil": (QUENCH_FIRE,)}.get(medium, (STEAM,))
    return (
        *told[: places[0]], *own,
        *(one for one in told[places[0] :] if one not in (QUENCH_FIRE, STEAM)),
    )  # fmt: skip

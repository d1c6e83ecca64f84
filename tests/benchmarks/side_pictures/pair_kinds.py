"""Two pictures of one edge, before and after, or of two edges: what is the same, grown or new?"""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.side_pictures.edges import Edge, draw_edge
from tests.benchmarks.side_pictures.side_lighting import Light
from tests.benchmarks.side_pictures.side_shot import compose, draw_camera, draw_optics, taken
from tests.benchmarks.side_pictures.side_truth import SideView, seen_truth
from tests.benchmarks.side_pictures.single_kinds import Recipe, blade_px, draw_harm
from tests.benchmarks.side_pictures.strewn import places
from tests.benchmarks.side_pictures.view import View

# New scratches where the old are ground away, as a share of what went (invented).
FRESH_SHARE = 0.7


@dataclass(frozen=True)
class PairRecipe:
    """What a kind of pair is drawn from.

    ``kept`` share of the roughness that is left, ``old`` and ``new`` how many damages were there
    before and come after, ``grown`` share of the old that grow, ``shift`` of the pictures as a
    share of their width (its sign is drawn), ``related`` whether it is one edge.
    """

    kept: tuple[float, float] = (1.0, 1.0)
    old: tuple[int, int] = (1, 4)
    new: tuple[int, int] = (0, 2)
    grown: float = 0.0
    shift: tuple[float, float] = (0.0, 0.5)
    related: bool = True


PAIRS = {
    "same": PairRecipe(),
    "half": PairRecipe(kept=(0.5, 0.5), grown=0.2),
    "quarter": PairRecipe(kept=(0.25, 0.25), grown=0.2),
    "clean": PairRecipe(kept=(0.5, 1.0), old=(0, 0), new=(1, 4)),
    "grown": PairRecipe(kept=(0.6, 1.0), grown=0.7),
    "neighbours": PairRecipe(kept=(0.6, 1.0), shift=(0.6, 1.0)),
    "unrelated": PairRecipe(new=(1, 4), related=False),
}
HARMS = Recipe(sigma_px=(0.25, 0.9), rolls=0.25)


@dataclass(frozen=True)
class Fate:
    """What became of a damage in the part that both pictures show, lengths in true µm.

    ``position_um`` on the second picture as the user's scale tells it; ``before_um`` is nought
    for a new one. ``clear`` says that it must be seen in both (a new one in the second).
    """

    state: str
    kind: str
    position_um: float
    before_um: float
    after_um: float
    clear: bool


@dataclass(frozen=True, eq=False)
class Pair:
    """Two made pictures; ``shift_um`` and its ``tolerance_um`` as the user's scale tells them.

    ``overlap`` is the common part as a share of the picture; nought for unrelated edges.
    """

    before: SideView
    after: SideView
    related: bool
    overlap: float
    shift_um: float
    tolerance_um: float
    fates: tuple[Fate, ...]


def pair(kind, seed):
    """The pair of a kind from a seed."""
    recipe = PAIRS[kind]
    rng = np.random.default_rng([1502, seed, list(PAIRS).index(kind)])
    cols = int(rng.integers(11, 16)) * 80
    rows = int(cols * rng.uniform(0.56, 0.7)) // 2 * 2
    u = float(np.exp(rng.uniform(np.log(2.5), np.log(8.0))))
    width = cols * u
    sigma = rng.uniform(*HARMS.sigma_px) * u
    edge, grinder = draw_edge(rng, 2.6 * width, sigma, 1.4 * sigma)
    shift = rng.uniform(*recipe.shift) * width * rng.choice([-1, 1])
    bend = (rng.uniform(-3, 3) / width * 1000, 0.0)
    first = View(cols, rows, u, 1.3 * width - shift / 2, rng.uniform(0.4, 0.58),
                 rng.uniform(-3, 3), bend)  # fmt: skip
    second = replace(
        first, um_per_px=u * (1 + rng.uniform(-0.02, 0.02)), middle_um=1.3 * width + shift / 2,
        height=rng.uniform(0.4, 0.58), turn_deg=first.turn_deg + rng.uniform(-2, 2),
    )  # fmt: skip
    common = _common(first, second, edge)
    edge = replace(edge, harms=_strewn_over(rng, recipe.old, first, edge, (0, edge.length_um), ()))
    if recipe.related:
        later, states = _later(rng, recipe, edge, grinder, second, common)
    else:
        later, _ = draw_edge(rng, edge.length_um, 0, 0, grinder)
        harms = _strewn_over(rng, recipe.new, second, later, second.stretch_um(0, edge.length_um),
                             ())  # fmt: skip
        later, states = replace(later, harms=harms), {}
    over = int(rng.choice([0, 2, 4, 6]))
    before, after = (_shot(rng, one, at, over, u) for one, at in ((edge, first), (later, second)))
    return _paired(recipe, before, after, common, states)


def _common(first, second, edge):
    """The stretch that both views show, µm on the edge; empty where high is below low."""
    ends = [view.stretch_um(0, edge.length_um) for view in (first, second)]
    return max(low for low, _ in ends), min(high for _, high in ends)


def _strewn_over(rng, count, view, edge, inside, spoilt):
    """Damage over a stretch of an edge; over long ones as many more."""
    low, high = inside
    share = max((high - low) / (view.cols * view.um_per_px), 0.3)
    number = round(int(rng.integers(count[0], count[1] + 1)) * share)
    made = [draw_harm(rng, HARMS, view.um_per_px, edge.sigma_um) for _ in range(number)]
    if not made:
        return ()
    apart = 1.4 * max(harm.reach_um for harm in made)
    margin = 0.75 * apart
    if high - margin <= low + margin:
        return ()
    at = places(rng, number, low + margin, high - margin, apart, spoilt)
    return tuple(replace(harm, at_um=one) for harm, one in zip(made, at, strict=False))


def _later(rng, recipe, edge, grinder, view, common):
    """The edge after use, and what became of each of its damages."""
    kept = rng.uniform(*recipe.kept)
    other = draw_edge(rng, edge.length_um, 0, 0, grinder)[0].rough
    rough = kept * edge.rough + FRESH_SHARE * (1 - kept) * other
    harms, states = [], []
    for harm in edge.harms:
        if rng.random() < recipe.grown:
            wider = rng.uniform(1.1, 1.6)
            harms.append(harm.grown(wider, wider * rng.uniform(1.1, 1.6)))
            states.append("grown")
        else:
            harms.append(harm)
            states.append("same")
    spoilt = [(harm.at_um, 0.8 * harm.reach_um) for harm in harms]
    fresh = _strewn_over(rng, recipe.new, view, edge, common, spoilt)
    later = Edge(rough, edge.wave, (*harms, *fresh))
    states += ["new"] * len(fresh)
    return later, dict(zip((harm.at_um for harm in later.harms), states, strict=True))


def _shot(rng, edge, view, over, told):
    """A picture of the edge under a light of its own."""
    light = Light(
        blade=float(np.exp(rng.uniform(np.log(0.01), np.log(0.08)))),
        texture=rng.uniform(0.1, 0.4),
        slope=rng.uniform(0.0, 0.3),
        mottle=rng.uniform(0.0, 0.01),
    )
    ends = (0.0, edge.length_um)
    scene = compose(rng, view, blade_px(edge, view, ends), edge.harms, light, ())
    optics = draw_optics(rng, rng.uniform(0.0, 1.3))
    return SideView(
        data=taken(rng, scene, optics, draw_camera(rng), over),
        told_um_per_px=told,
        **seen_truth(edge, view, over, ends, ()),
    )


def _told(view, at):
    """Position on a picture as the user's scale tells it, µm."""
    return view.position(at) * view.told_um_per_px / view.um_per_px


def _paired(recipe, before, after, common, states):
    """The pair with its true shift and what became of each damage in the common part."""
    low, high = common
    u = before.um_per_px
    overlap = max(high - low, 0.0) if recipe.related else 0.0
    middle = (low + high) / 2
    first, second = _told(before, middle), _told(after, middle)
    zoom = abs(before.um_per_px / after.um_per_px - 1)
    earlier_at = {harm.at_um: harm for harm in before.harms}
    fates = []
    for later in after.harms:
        at, state, earlier = later.at_um, states.get(later.at_um), earlier_at.get(later.at_um)
        inside = low + later.length_um / 2 < at < high - later.length_um / 2
        if state is None or not inside or (state != "new" and earlier is None):
            continue
        seen_before = state == "new" or earlier.clear
        depth = 0.0 if state == "new" else earlier.depth_um
        fates.append(Fate(state, later.kind, _told(after, at), depth, later.depth_um,
                          later.clear and seen_before))  # fmt: skip
    return Pair(before, after, recipe.related, overlap / before.length_um, second - first,
                6 * u + zoom * overlap / 2, tuple(fates))  # fmt: skip

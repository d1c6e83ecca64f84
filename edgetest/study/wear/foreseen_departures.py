"""What does a protocol ask of the edges, and which typed facts depart from it before any cut?"""

from edgetest.store.blades import Blade
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.wear.departed_facts import (
    ANGLE_DEG,
    OF_LIVES,
    ProtocolDeparture,
    edges_departed,
    limit_departed,
)

NO_CONTROL = ProtocolDeparture(
    "control blade",
    "a control blade, run with the others",
    "none was named",
    "What a roll, a board or a day did to all blades alike is not seen.",
)


def asked_words(protocol: Protocol) -> str:
    """The edges that a protocol asks for, and a control blade beside cuts, in a sentence or two."""
    edge = protocol.edge_preparation
    wish = edge.included_angle_deg
    angle = "" if wish is None else f"{_angle(wish)}; "
    cut = protocol.log != "chops"
    beside = " It also asks for a control blade, cut beside them." if cut else ""
    return (
        f"It asks for these edges: {angle}{edge.finish}.{beside} What you do otherwise stands in "
        "the answer as a departure."
    )


def angle_otherwise(blade: Blade, protocol: Protocol) -> str:
    """That the edge angle of a blade is not the one asked for; "" where it is, or blank."""
    wish, has = protocol.edge_preparation.included_angle_deg, blade.included_angle_deg
    if wish is None or has is None or abs(has - wish) <= ANGLE_DEG:
        return ""
    means = "" if protocol.log == "chops" else f" {OF_LIVES}"
    return f"The protocol asks for {_angle(wish)}; yours is {blade.angle_words()}.{means}"


def foreseen(study: Study, protocol: Protocol) -> tuple[ProtocolDeparture, ...]:
    """Departures that the facts tell of before any cut: edges, control blade and limit.

    None of a protocol of chops, whose departures are told of the pieces chopped.
    """
    if protocol.log == "chops" or not study.blades:
        return ()
    of_edges = edges_departed(study, protocol, {blade.id for blade in study.blades})
    control = () if study.control or study.reference else (NO_CONTROL,)
    return (*of_edges, *control, *limit_departed(study, protocol))


def _angle(wish: float) -> str:
    return f"{wish / 2:g}° per side ({wish:g}° included)"

"""Which records speak of one and the same heat? Each coupon's heat counts once."""

from dataclasses import fields, replace
from typing import Any

from edgetest.steel.steel_seen import HeatSeen


def merged(heats):
    """Heats with each coupon's heat once: records of the same one are laid together."""
    kept: dict[tuple[str, str, int], HeatSeen] = {}
    for heat in heats:
        at = (heat.piece, heat.coupon, heat.heat)
        kept[at] = _laid_together(kept[at], heat) if at in kept else heat
    return list(kept.values())


def _laid_together(one: HeatSeen, other: HeatSeen):
    """Two records of one heat: what the first leaves open is taken from the second."""
    if one.medium != other.medium and None not in (one.medium, other.medium):
        return one
    told: dict[str, Any] = {
        field.name: getattr(other, field.name)
        for field in fields(one)
        if getattr(one, field.name) is None
    }
    for name in ("hardness", "tempers"):
        told[name] = tuple(dict.fromkeys(getattr(one, name) + getattr(other, name)))
    return replace(one, **told)

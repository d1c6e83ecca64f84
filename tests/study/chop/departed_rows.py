"""Rows, protocols and departures made by hand, for the tests of what was done otherwise."""

from types import SimpleNamespace

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_departures import chop_departures


def protocol(**more):
    facts = {
        "log": "chops", "stages": (1, 2), "chop_kinds": ("billet",), "closing": (),
        "limit": None,
        "medium": SimpleNamespace(
            size="60 mm by 50 mm", kind="one species, seasoned, no knots",
            batch="one board for each round; marked",
        ),
        "cut": SimpleNamespace(how="Every stroke counts, those that miss in near_misses too."),
        "readings": (SimpleNamespace(name="chips_count"),),
        "edge_preparation": SimpleNamespace(included_angle_deg=None),
    }  # fmt: skip
    return SimpleNamespace(**facts | more)


def medium(**more):
    facts = vars(protocol().medium)
    return {"medium": SimpleNamespace(**facts | more)}


def piece(blade="H1", kind="billet", **more):
    facts = {
        "width_mm": 50.0, "thickness_mm": 60.0, "species": "ash", "moisture_pct": 12.0, "knots": 0,
        "near_misses": 0, "board": "a", "chips_count": 0, "result": "pass",
    }  # fmt: skip
    return ChopRow(2, blade, kind, **facts | more)


def departed(rows, *, control="C", only=(), **more):
    study = SimpleNamespace(woods=(), control=control, reference=None, blades=[])
    found = chop_departures(study, protocol(**more), SimpleNamespace(rows=rows), only)
    return [(each.of, each.done) for each in found]


WHOLE = [piece(), piece("C"), piece(), piece("C")]

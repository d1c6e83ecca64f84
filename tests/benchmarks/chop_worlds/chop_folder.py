"""How does a shop write its work down? A study folder as its maker would keep it."""

import csv
from dataclasses import replace

COLUMNS = [
    "blade",
    "kind",
    "order",
    "chops",
    "near_misses",
    "width_mm",
    "thickness_mm",
    "diameter_mm",
    "orientation",
    "length_mm",
    "mass_g",
    "species",
    "moisture_pct",
    "knots",
    "depth_mm",
    "chips_count",
    "largest_chip_mm",
    "rolls_count",
    "operator",
    "board",
    "day",
    "mishap",
    "exclude",
    "note",
]


def sized(section, orientation):
    """A section by the columns of the log: the width is the wider side of a flat piece."""
    if section.round:
        return {"diameter_mm": f"{section.width_mm:g}"}
    wide = max(section.width_mm, section.depth_mm)
    thin = min(section.width_mm, section.depth_mm)
    return {"width_mm": f"{wide:g}", "thickness_mm": f"{thin:g}", "orientation": orientation}


def of_a_piece(shop, row):
    """Cells of a piece: its size, wood and strokes."""
    lot = shop.lots[row.lot]
    cells = sized(lot.section, lot.orientation)
    if not shop.habits.notes_orientation:
        cells.pop("orientation", None)
    cells |= {
        "order": row.order,
        "chops": row.written,
        "near_misses": row.misses,
        "species": lot.wood.name,
        "moisture_pct": "green"
        if shop.grain.moisture_pct >= 30
        else f"{shop.grain.moisture_pct:g}",
        "board": f"{'abcdefgh'[row.lot]}{row.board + 1}",
        "knots": row.knots if shop.grain.knots else "",
    }
    if shop.habits.weighs:
        cells |= {"length_mm": 300, "mass_g": row.mass_g}
    if lot.section.depth_mm > shop.ways.turns_above_mm:
        cells["note"] = "turned, notched from both faces"
    return cells


def written_row(shop, row):
    """One row as a dict of cells; None where the shop writes nothing."""
    cells = {"blade": row.tool, "kind": row.kind}
    if row.kind == "touch-up":
        return cells if shop.habits.logs_touch_up else None
    if row.kind == "billet":
        cells |= of_a_piece(shop, row)
    if row.kind == "single":
        cells |= {"order": row.order, "depth_mm": row.depth_mm, "board": "depth board"}
    if row.kind != "inspection":
        if len(shop.hands.operators) > 1:
            cells["operator"] = shop.hands.operators[row.operator]
        if shop.hands.days > 1:
            cells["day"] = row.day + 1
    if row.seen is not None:
        chips, largest, rolls = row.seen
        cells |= {"chips_count": chips, "rolls_count": rolls}
        if chips:
            cells["largest_chip_mm"] = max(largest, 0.1)
    if row.mishap:
        cells |= {"mishap": "the clamp gave way", "exclude": "the piece moved under the blows"}
    return cells


def study_text(shop):
    """study.toml of the shop."""
    lines = [
        "# Invented data: an invented shop, invented tools, strokes drawn from a seed.",
        f'title = "Invented choppers, {shop.kind}, {shop.seed}"',
        f'protocol = "{"single_chop" if shop.habits.singles and not shop.lots else "billet_chop"}"',
        "invented = true",
        "date = 2026-11-02",
    ]
    if shop.control:
        lines.append(f'control = "{shop.control}"')
    treatments = shop.treatments or ("as it is",)
    for number, name in enumerate(treatments):
        lines += [
            "",
            "[[heat_treatments]]",
            f'id = "{name}"',
            f'title = "temper {200 + 40 * number} °C"',
        ]
    for tool in shop.tools:
        lines += ["", "[[blades]]", f'id = "{tool.name}"', 'kind = "chopper"']
        lines += [f'heat_treatment = "{tool.treatment or treatments[0]}"', "edge_length_mm = 180"]
    return "\n".join(lines) + "\n"


def write(shop, rows, folder):
    """Write study.toml and chops.csv into `folder`, which is there already."""
    (folder / "study.toml").write_text(study_text(shop), encoding="utf-8")
    written = [cells for cells in (written_row(shop, row) for row in rows) if cells]
    used = [c for c in COLUMNS if any(cells.get(c, "") != "" for cells in written)]
    with open(folder / "chops.csv", "w", encoding="utf-8", newline="") as stream:
        table = csv.DictWriter(stream, used, extrasaction="ignore", restval="")
        table.writeheader()
        table.writerows(written)


def wish_text(shop):
    """The wish as the command takes it: wood, size, and how it lies."""
    section, wood = shop.wish.section, shop.wish.wood.name
    if section.round:
        return f"{wood} {section.width_mm:g}"
    size = sized(section, shop.wish.orientation)
    told = f"{wood} {size['width_mm']}x{size['thickness_mm']} {shop.wish.orientation}"
    return told.strip()


def without(shop, **habits):
    """The same shop with other habits of writing."""
    return replace(shop, habits=replace(shop.habits, **habits))

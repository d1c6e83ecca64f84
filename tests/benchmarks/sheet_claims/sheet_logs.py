"""What do makers bring? Mixed logs: inches, strange woods, standing pieces, no swing, many scripts.

Strokes and damage come from ``chop_worlds``; what else is typed is drawn from the seed here. All of
it is invented.
"""

import csv
from dataclasses import replace

import numpy as np

from tests.benchmarks.chop_worlds import chop_folder
from tests.benchmarks.chop_worlds.chopping import chop
from tests.benchmarks.chop_worlds.shop_kinds import shop

KINDS = ("mixed", "dulling", "round", "lath", "over", "knots", "one_board", "notch", "people")
CUSTOMERS = (
    "the owner of the hook",
    "Ελένη Παπαδοπούλου (invented)",
    "Иван Лесной (invented)",
    "Zoë Ångström-Çelik (invented)",
    "山田 太郎 (invented)",
    "נועה (invented)",
    None,
)
STRANGE = {
    "white ash": "hazel",
    "sugar maple": "European hornbeam",
    "black walnut": "blackthorn (hardwood)",
    "yellow-poplar": "goat willow",
    "eastern white pine": "bamboo (hardwood)",
}
INCHES = {20: "3/4 in", 25: "1 in", 30: "1 1/4 in", 38: "1 1/2 in", 50: "2 in", 70: "2 3/4 in"}
HANDLING = """
[handling.T1]
mass_g = 640
balance_mm = 171
pivot_mm = 12
swings = 20
seconds = [19.32, 19.41, 19.37]
amplitude_deg = 10
grip_mm = 62
strike_mm = 300
handle_front_mm = 122
length_mm = 380
"""


def inches(cells):
    """A row with its lengths in fractions of an inch, where it has any that are told so."""
    for key in ("width_mm", "thickness_mm", "diameter_mm"):
        if cells.get(key):
            value = float(cells[key])
            cells[key] = INCHES.get(int(value), f"{round(value / 25.4 * 8) / 8:g} in")
    return cells


def decorated(made, rows, rng):
    """Rows as this maker writes them."""
    facets = {k: bool(rng.random() < 0.4) for k in ("inch", "strange", "no_misses", "no_boards")}
    written = []
    for row in rows:
        cells = chop_folder.written_row(made, row)
        if cells is None:
            continue
        if facets["inch"]:
            cells = inches(cells)
        if facets["strange"] and cells.get("species") in STRANGE:
            cells["species"] = STRANGE[cells["species"]]
            if "(" in cells["species"]:  # named with its kind: weighed
                cells["density_kg_m3"] = 650
        if facets["no_misses"]:
            cells.pop("near_misses", None)
        if facets["no_boards"]:
            cells.pop("board", None)
        if cells["kind"] == "inspection" and rng.random() < 0.3:
            cells["note"] = f"seen by lamp, remark of {cells['blade']}"
        written.append(cells)
    written += tried(rng, "T1")
    return written


def tried(rng, tool):
    """Closing trials of one tool."""
    found = []
    for kind in ("rope", "knot", "antler", "shave"):
        for number in range(int(rng.integers(0, 4)) if kind == "antler" else rng.random() < 0.4):
            result = "pass" if rng.random() < 0.8 else "fail"
            found.append({"blade": tool, "kind": kind, "order": number + 1, "result": result})
    return found


def blade_text(rng, name):
    """One blade with whatever its maker happened to type."""
    lines = ["", "[[blades]]", f'id = "{name}"', 'heat_treatment = "spring"']
    offered = {
        "title": '"hedging billhook"' if name == "T1" else '"the old hook of the shop"',
        "steel": '"80CrV2"',
        "angle_per_side_deg": "17",
        "edge_finish": '"400 grit belt, stropped"',
        "hardness_hrc": "[56, 56.5]",
        "edge_length_mm": str(rng.choice(['"9 1/2 in"', "215"])),
        "note": f'"a remark on {name} alone"',
    }
    return lines + [f"{k} = {v}" for k, v in offered.items() if rng.random() < 0.6]


def study_text(made, rng, tools):
    """study.toml of this log."""
    customer = CUSTOMERS[made.seed % len(CUSTOMERS)]
    temper = '"400 °F"' if rng.random() < 0.5 else "205"
    lines = [
        "# Invented data.",
        f'title = "A hook for {made.kind} wood"',
        'protocol = "billet_chop"',
        "invented = true",
        'maker = "An invented forge"',
        "date = 2026-11-02",
    ]
    lines += ['control = "C1"'] if "C1" in tools and rng.random() < 0.6 else []
    lines += ["", "[[heat_treatments]]", 'id = "spring"', 'title = "spring temper"']
    if rng.random() < 0.7:
        lines += [
            "steps = [{kind = 'austenitise', temperature_f = 1500, soak_min = 5}, "
            "{kind = 'quench', medium = 'fast oil'}, "
            f"{{kind = 'temper', temperature_c = {temper}, time_min = '2 h', repeats = 2}}]"
        ]
    for tool in tools:
        lines += blade_text(rng, tool)
    if rng.random() < 0.4:
        lines += HANDLING.splitlines()
    if customer:
        lines += ["", "[document]", f'customer = "{customer}"']
    return "\n".join(lines) + "\n"


def write_log(number, folder):
    """Write log `number` into a folder; returns the options of its sheet."""
    rng = np.random.default_rng([number, 77])
    made = shop(KINDS[number % len(KINDS)], number)
    looks = str(rng.choice(["each", "each", "end", "none"]))
    touch = 2 if looks == "each" and rng.random() < 0.4 else made.habits.touch_up_after
    habits = replace(made.habits, look=looks, touch_up_after=touch, singles=int(rng.random() < 0.3))
    tools = made.tools[: 1 if rng.random() < 0.4 else 2]
    stops = 40 if rng.random() < 0.5 else made.hands.stops_at
    tools = tuple(replace(t, chips=0.01, rolls=0.01) for t in tools)
    made = replace(
        made, tools=tools, habits=habits, hands=replace(made.hands, stops_at=stops), control=None
    )
    written = decorated(made, chop(made), rng)
    names = [t.name for t in tools]
    (folder / "study.toml").write_text(study_text(made, rng, names), encoding="utf-8")
    columns = sorted({k for cells in written for k in cells}, key=order_of)
    with open(folder / "chops.csv", "w", encoding="utf-8", newline="") as stream:
        table = csv.DictWriter(stream, columns, restval="")
        table.writeheader()
        table.writerows(written)
    return ["--units", str(rng.choice(["metric", "inch", "both"]))]


def order_of(column):
    """Columns in the order of the format."""
    known = [*chop_folder.COLUMNS, "density_kg_m3", "result"]
    return known.index(column)

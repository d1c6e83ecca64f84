"""Which facts does a study hold of a blade, a heat treatment, a grip, an outline, itself?"""

from dataclasses import dataclass

from edgetest.study.facts.fact_values import Kind


@dataclass(frozen=True)
class Fact:
    """One fact: its key in its table of study.toml, its label, how it is typed."""

    key: str  # with a dot where it lies in a table of the table
    label: str
    kind: Kind = "words"
    hint: str = ""
    help: str = ""


ANY_LENGTH = "mm, or with its unit: 1/4 in"
BLADE = (
    Fact("title", "What a customer calls it", hint="hedging billhook, one piece"),
    Fact("kind", "Kind of tool", hint="billhook, hatchet, camp knife"),
    Fact("steel", "Steel, as far as you know it", hint="lorry leaf spring, make not known"),
    Fact("piece", "Salvaged piece it is of", hint="disc A"),
    Fact("batch", "Batch it was quenched or tempered in", hint="oven 2",
         help="Quenched together and tempered apart: name the load of the temper."),
    Fact("angle_per_side_deg", "Edge angle per side, degrees", "size", "20",
         "As measured. Leave both angles blank where nobody measured one."),
    Fact("included_angle_deg", "or the included angle, degrees", "size", "40"),
    Fact("angle_u_deg", "Angle known to ±, degrees", "size", "1"),
    Fact("thickness_behind_edge_mm", "Thickness behind the edge, mm", "size", "0.6",
         ANY_LENGTH + ". Where the edge bevel begins."),
    Fact("thickness_behind_edge_u_mm", "Thickness behind the edge known to ±, mm", "size", "0.05"),
    Fact("spine_mm", "Thickness of the spine, mm", "size", "6.4", ANY_LENGTH),
    Fact("width_mm", "Width, mm", "size", "52", ANY_LENGTH),
    Fact("length_mm", "Length over all, mm", "size", "340", ANY_LENGTH),
    Fact("edge_length_mm", "Length of the edge, mm", "size", "80",
         ANY_LENGTH + ". Damage is told per 100 mm of edge, so the sheet needs it."),
    Fact("mass_g", "Mass, g", "size", "753", "g, or with its unit: 26.6 oz"),
    Fact("edge_finish", "Edge finished on", hint="400 grit belt, stropped"),
    Fact("hardness_target_hrc", "Hardness aimed at, HRC", "size", "54-56"),
    Fact("hardness_hrc", "Hardness measured, HRC", "numbers", "55  55.5",
         "Every reading of a tester, with blanks between."),
    Fact("hardness_files.skates", "Hardest file that skates, HRC", "size", "55"),
    Fact("hardness_files.bites", "Softest file that bites, HRC", "size", "60"),
    Fact("note", "Note"),
)  # fmt: skip
TREATMENT = (
    Fact("title", "Name of the heat treatment", hint="temper 190 °C twice"),
    Fact("note", "Note"),
)
STEP = (
    Fact("temperature_c", "Temperature, °C", "size", "200", "°C, or with its unit: 1500 °F"),
    Fact("soak_min", "Soak, minutes", "size", "8"),
    Fact("time_min", "Time, minutes", "size", "60", "minutes, or with its unit: 2 h"),
    Fact("medium", "Medium", hint="warm oil, 60 °C"),
    Fact("repeats", "Times", "count", "2"),
    Fact("note", "Note"),
)
FROM_BUTT = "From the butt, in mm or with its unit: 7 1/2 in."
HANDLING = (
    Fact("grip_mm", "Middle of the grip, mm", "size", "62", FROM_BUTT),
    Fact("strike_mm", "Where it strikes, mm", "size", "302", FROM_BUTT),
    Fact(
        "handle_front_mm",
        "Front end of the handle, mm",
        "size",
        "124",
        FROM_BUTT + " Of a hatchet: where its handle meets the head.",
    ),
    Fact("length_mm", "Length over all, mm", "size", "340", ANY_LENGTH),
    Fact("mass_g", "Mass, g", "size", "753", "g, or with its unit: 26.6 oz"),
    Fact("balance_mm", "Balance point, mm", "size", "191.5", FROM_BUTT),
    Fact("pivot_mm", "Where it hangs, mm", "size", "14", FROM_BUTT + " The nail of the pendulum."),
    Fact("swings", "Full swings counted", "count", "20", "There and back is one."),
    Fact("seconds", "Seconds for them, each try", "numbers", "19.68  19.73  19.58"),
    Fact("amplitude_deg", "Swung out to, degrees", "size", "10"),
    Fact("note", "Note"),
)
PLACES = "A line a place, from the butt."
OUTLINE = (
    Fact("silhouette", "Photograph of its silhouette", hint="photos/H1_silhouette.jpg",
         help="The whole tool dark on a bright ground, or bright on a dark one."),
    Fact("butt", "The butt lies in it", hint="left or right"),
    Fact("scale", "Scale of that photograph", hint="silhouette",
         help="Name of a scale of this study; or else millimetres per pixel."),
    Fact("mm_per_px", "or millimetres per pixel", "size", "0.4"),
    Fact("sides", "or by rule: place, back, edge, mm", "rows", "0 12 12",
         "A line a place, from the butt: how far back and edge stand off a straight line along "
         "the middle of the handle."),
    Fact("widths", "or by rule: place, width, mm", "rows", "0 24", PLACES),
    Fact("thicknesses", "Place, thickness, mm", "rows", "0 6.4", PLACES),
    Fact("edge_mm", "Thickness behind the edge, mm", "size", "0.6", ANY_LENGTH),
    Fact("ground", "Share of the width that is ground", "size", "0.45", "From 0 to 1."),
    Fact("grind_from_mm", "The grind begins, mm", "size", "255", FROM_BUTT),
    Fact("thinner.from_mm", "A thinner tip would begin, mm", "size", "220", FROM_BUTT),
    Fact("thinner.tip_mm", "and be so thick at the tip, mm", "size", "1.8", ANY_LENGTH),
    Fact("note", "Note"),
)  # fmt: skip
PART = (
    Fact("name", "Part", hint="ash scales"),
    Fact("mass_g", "Its mass, g", "size", "58"),
    Fact("from_mm", "From, mm", "size", "4", FROM_BUTT),
    Fact("to_mm", "To, mm", "size", "122", FROM_BUTT),
)
STUDY = (
    Fact("title", "Title of the study", hint="Two tempers for camp hatchets"),
    Fact("maker", "Made by"),
    Fact("tested_by", "Tested by"),
    Fact("date", "Date", hint="2026-05-04"),
    Fact("notes", "Notes", hint="widths read by eye, microscope, 100 ×",
         help="Documents print them: say by what you read the edge, and how."),
    Fact("typed_scale_u", "Scale of typed widths: standard uncertainty, as a share", "size", "0.02",
         "0.02 is 2 %: one time in three it is off by more. The lives hold it, no ratio needs it."),
    Fact("chop_to", "Strokes to reckon for pieces that were not chopped, a line each", "lines",
         "English oak 90x60 flat", "A wood and a size, mm: 90x60 flat, or 45 for a round one; "
         "before the wood green, air-dry or a percent of water."),
)  # fmt: skip
DOCUMENT = (
    Fact("customer", "For whom"),
    Fact("care", "Care of the tool, a line each", "lines", "Dry it after use and oil it."),
    Fact("note", "A word of your own"),
    Fact("headline_wood", "Of a chopper: the wood that leads its sheet", hint="hazel",
         help="A wood, or a wood and a size, mm: hazel 47. Blank: what most pieces were of."),
)  # fmt: skip

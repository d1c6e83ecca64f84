"""What is each action, way and test called, and what does a test cost?"""

from dataclasses import dataclass

ACTIONS = {
    "first_step": "Begin by looking",
    "safety_stop": "Stop: do not heat or grind it yet",
    "go_on": "Go on testing",
    "heat_treat_again": "Heat-treat it again",
    "reuse_trial": "Make one trial blade",
    "reuse": "Reuse it",
    "light_use": "Light use only",
    "carburise": "Carburise it: by itself it has too little carbon",
    "leave": "Leave it",
    "laboratory": "Ask a laboratory",
    "buy_known": "Buy known steel",
}
# No number of coupons lets a lot go: a blade that stands is one of those wanted, so trying it costs
# half an hour, and the chances rest on no log of real salvage that could stand in for it.
SPARED_BY_NONE = "No number of coupons that came out alike spares you that blade."
CHOP_FIRST = "chop with it, for it cut rope alone, and rope does not tell what blows do to an edge"
WAYS = {
    "hotter": "quench hotter, by a step of about 30 °C, past where the magnet lets go",
    "cooler": "quench from cooler, by a step of about 30 °C",
    "normalise": "normalise, cycle three times, and harden from a lower heat",
    "longer_soak": "soak longer at heat before the quench",
    "faster_quench": "quench faster",
    "slower_quench": "quench slower",
    "temper_hotter": "temper hotter, by a step of about 15 °C at a time",
    "temper_cooler": "harden again and temper cooler",
    "grind_skin": "grind the soft skin off",
    "repeat": "repeat the heat, nothing changed, and read below the skin",
}
# What a step of heat is to a maker without a thermometer.
BY_EYE = {
    "hotter": "By eye, in the same dim light, a step of about 30 °C is about one shade brighter, "
    "and no eye tells it for sure: file it as quenched to see whether it was enough (common "
    "practice, no source).",
    "cooler": "By magnet, quench it nearer to where the magnet lets go: no eye tells a step of "
    "about 30 °C for sure (common practice, no source).",
}
# Asked of every ladder of tempers, till its maker wrote whether the oven was checked.
ASK_OVEN = (
    "Where none checks the oven, note it with edgetest enter, --evidence known oven_checked=no, "
    "and let the file decide."
)
FAMILY_WORDS = {
    "hard_edge": "a steel of much carbon, for hard and keen edges",
    "tough_edge": "a steel of medium carbon, tough before it is keen",
    "special_heat": "a steel that asks for a heat treatment a forge does not give",
    "case_only": "a steel with too little carbon for an edge by itself",
    "no_edge": "a metal that takes no edge",
    "sort_first": "a steel that is not the same all through: sort it first",
    "unknown": "not known yet",
}


@dataclass(frozen=True)
class TempersFirst:
    """The coupon and heat that a step tempers before its test, and at how many °C."""

    of: tuple[str, int]
    temper_c: float


@dataclass(frozen=True)
class NextTest:
    """A test that could be done next: its work in hours, and what is there to mind."""

    code: str
    title: str
    why: str
    hours: float
    cautions: tuple[str, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return {**vars(self), "cautions": list(self.cautions)}

    def summary(self):
        """The test as a maker reads it out."""
        cost = "costs next to nothing" if self.hours < 0.5 else f"about {self.hours:g} h of work"
        return f"Next: {self.title} ({cost}). {self.why}"


# Hours of work, and the range and steps of the tempers, are common practice, no source.
TESTS_BY_CODE = {
    test.code: test
    for test in (
        NextTest("magnet", "a magnet on the cold piece, on bright metal",
                 "It tells hardening steel from the kind that no quench hardens.", 0.05),
        NextTest("sparks", "sparks beside a low- and a high-carbon steel that you know",
                 "They rank the carbon; they name nothing.", 0.2),
        NextTest("file_as_found", "a file on the piece as found, on the skin and ground below it",
                 "A hard skin over a soft inside is a case.", 0.2),
        NextTest("look_at_coating", "look for paint, zinc, chrome and other coatings, and for lead",
                 "What gives off fumes stays out of the fire.", 0.1),
        NextTest("look_up_degrees", "look up whether that temper was in °F or in °C",
                 "Ovens are marked in either, and a slip looks like another steel.", 0.1),
        NextTest("coupon_oil", "a coupon quenched in oil from just past where the magnet lets go",
                 "Oil before water: it cracks less, and shows whether the steel hardens.",
                 1.0),
        NextTest("coupon_water", "a coupon quenched in warm water, of blade thickness",
                 "Oil may have been too slow for it.", 1.0),
        NextTest("coupon_air", "a thin coupon cooled in still air from a full heat",
                 "Steel rich in alloy hardens in air.", 1.0),
        NextTest("grind_and_file", "0.3 mm ground off, and a file below the skin",
                 "The skin may have lost its carbon, or be a case.", 0.3),
        NextTest("break_coupon", "the coupon snapped, and a look at the break",
                 "Satin is fine, sugar is coarse; a rim is a case.", 0.1),
        NextTest("look_at_break", "a look at the break of the blade that broke, and at its grain",
                 "Satin is fine, sugar is coarse. A dark or scaled part was a crack or cold shut "
                 "before the blow: write fracture='old crack', and the break counts against the "
                 "forging alone, not against the steel or the temper.", 0.1),
        NextTest("temper_and_try", "the blade that is made: its own temper where it has none yet, "
                 "then its trial beside the known blade",
                 "A temper and a trial belong to the heat that they followed.", 2.0),
        NextTest("temper_ladder", "tempers from 175 °C up to 260 °C in steps of about 14 °C, a "
                 "reading after each",
                 "It shows which temper gives the hardness wanted: 175 °C, 189 °C, 203 °C, 217 °C, "
                 "231 °C, 245 °C and 259 °C, coolest first, for the coupon only gets softer. You "
                 "may stop at the first that reads in the range wanted: that coupon goes on. A "
                 "hotter one that still does is tougher, but once one reads softer than wanted the "
                 "coupon is spent, and you quench a fresh one. Each step stands in the oven for an "
                 "hour besides. Where your oven swings further than a step, go in steps of 25 °C, "
                 "by a thermometer beside the coupon: degrees are taken as you write them. "
                 f"{ASK_OVEN}",
                 3.0),
        NextTest("brass_rod", "the edge of the tempered coupon pressed over a brass rod",
                 "A hard edge may still be brittle. Clamp a rod about 6 mm thick, lay the edge on "
                 "it at its sharpening angle, and press until you see it flex, no harder (common "
                 "practice, no source).", 0.5),
        NextTest("bend", "the tempered coupon bent beside a known bar",
                 "A hard bar may still snap. Clamp 30 mm of the coupon in a vice, and of a known "
                 "bar as thick, each under a cloth. Bend both by steps of about 10°, up to 30° and "
                 "no further than the known bar goes. One that springs back is sound, one that "
                 "stays bent is too soft, one that snaps is too brittle (common practice, no "
                 "source).", 0.5),
        NextTest("trial_blade", "one trial blade, tried on rope or by chopping beside a known "
                 "blade",
                 "Only a blade tells how long the edge lives. A chop counts from 30 strokes on "
                 "with each blade (our choice); one that stops before, its edge whole, tells "
                 "nothing.", 8.0),
        NextTest("sharpen_again", "the same blade sharpened at the known blade's angle, its wire "
                 "edge off, and run once more beside it",
                 "A poor edge gives out as early as a poor steel. Where you find a wire edge or "
                 "another angle on it, write that as poor_edge of the run that gave out, which "
                 "then counts neither way.", 1.0),
        NextTest("second_piece", "the same coupon from a second piece of the lot",
                 "One piece says little of its sisters.", 1.0),
        NextTest("sort_lot", "the lot sorted: a mark on each piece, and their sparks side by side",
                 "Where the pieces differ, each tells of itself alone.", 0.2),
        NextTest("laboratory", "an analysis by a laboratory",
                 "Nothing in the shop tells these apart.", 4.0),
    )
}  # fmt: skip
# Title, reason and hours of the test "temper_and_try" where the blade lacks no more than strokes.
MORE_STROKES = (
    "the same blade, its edge as it is, up to 30 strokes in all beside the known blade",
    "From there on a whole edge tells of the steel (our choice), and what it made already counts.",
    0.5,
)
# Title and reason of the test "second_piece" where a coupon of another piece was quenched already.
FURTHER_PIECE = (
    "the same coupon from a further piece of the lot",
    "Where the pieces differ, each tells of itself alone.",
)

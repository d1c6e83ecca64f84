"""What is each action, way and test called, what does it cost, and what is there to mind?"""

from dataclasses import dataclass

ACTIONS = {
    "first_step": "Begin by looking",
    "safety_stop": "Stop: do not heat or grind it yet",
    "go_on": "Go on testing",
    "heat_treat_again": "Heat-treat it again",
    "reuse_trial": "Reuse it: make one trial blade",
    "light_use": "Light use only",
    "carburise": "Only with carbon packed into it",
    "leave": "Leave it",
    "laboratory": "Ask a laboratory",
    "buy_known": "Buy known steel",
}
WAYS = {
    "hotter": "quench from hotter, just past where the magnet lets go",
    "cooler": "quench from a lower heat",
    "normalise": "normalise, cycle three times, and harden from a lower heat",
    "longer_soak": "soak longer at heat before the quench",
    "faster_quench": "quench faster",
    "slower_quench": "quench slower",
    "temper_hotter": "temper hotter, a step at a time",
    "temper_cooler": "harden again and temper cooler",
    "grind_skin": "grind the soft skin off",
    "repeat": "repeat the heat, nothing changed, and read below the skin",
}
FAMILY_WORDS = {
    "hard_edge": "a steel for hard, keen edges",
    "tough_edge": "a steel for struck tools and choppers",
    "special_heat": "a steel that asks for a heat treatment a forge does not give",
    "case_only": "too little carbon for an edge by itself",
    "no_edge": "no steel for an edge",
    "sort_first": "more than one steel: sort it first",
    "unknown": "not known yet",
}
_FIRE = "Quench with all hot metal under, ample oil, a lid and an extinguisher by hand; keep your "
FIRE = _FIRE + "face out of the smoke."
STEAM = "Water throws steam and spits: long tongs, face away; a cracking coupon can fly."
EYES = "Eye and breathing protection at the grinder; sparks set dust alight."
SHARDS = "Break it wrapped, behind glasses or a shield, nobody in line."
FUMES = (
    "Plated, galvanised, painted, leaded or unknown scrap gives off fumes that kill: keep it out "
    "of the fire and off the wheel until the coating is off and known."
)
HOLLOW = "A closed hollow part bursts in the fire: open it cold, with a drill or a saw."
SPRING = "A loaded spring kills when it lets go: have it unloaded before it is cut or heated."
CHROME = "Hard chrome gives poisonous dust at the grinder and fume in the fire: have it stripped."
BLADE = (
    "Glasses or shield, gloves; check tang and handle; free swing, nobody in line; stop at a crack."
)
MONOXIDE = (
    "A pack gives off carbon monoxide: outdoors or under extraction; lute the box with a vent, "
    "never gas-tight; use a compound made for it, no cyanide."
)
OTHERS = "Where a part's failure could hurt someone, a laboratory decides, not a shop test."
SPATTER = "Never temper in hot oil."
# All cautions: common practice, no source.


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


# Hours of work are common practice, no source.
TESTS_BY_CODE = {
    test.code: test
    for test in (
        NextTest("magnet", "a magnet on the cold piece, on bright metal",
                 "It tells hardening steel from the kind that no quench hardens.", 0.05),
        NextTest("sparks", "sparks beside a low- and a high-carbon steel that you know",
                 "They rank the carbon; they name nothing.", 0.2, (EYES,)),
        NextTest("file_as_found", "a file on the piece as found, on the skin and ground below it",
                 "A hard skin over a soft inside is a case.", 0.2, (EYES,)),
        NextTest("look_at_coating", "look for paint, zinc, chrome and other coatings, and for lead",
                 "What gives off fumes stays out of the fire.", 0.1, (FUMES,)),
        NextTest("coupon_oil", "a coupon quenched in oil from just past where the magnet lets go",
                 "Oil before water: it cracks less, and shows whether the steel hardens.",
                 1.0, (FIRE,)),
        NextTest("coupon_water", "a coupon quenched in warm water, of blade thickness",
                 "Oil may have been too slow for it.", 1.0, (STEAM,)),
        NextTest("coupon_air", "a thin coupon cooled in still air from a full heat",
                 "Steel rich in alloy hardens in air.", 1.0, (FIRE,)),
        NextTest("quench_hotter", "the coupon quenched again from hotter",
                 "The last heat may have been too cold.", 1.0, (FIRE,)),
        NextTest("normalise_and_quench", "a coupon normalised, cycled and quenched again",
                 "Coarse grain comes of too hot a heat.", 2.0, (FIRE,)),
        NextTest("grind_and_file", "0.3 mm ground off, and a file below the skin",
                 "The skin may have lost its carbon, or be a case.", 0.3, (EYES,)),
        NextTest("break_coupon", "the coupon snapped, and a look at the break",
                 "Satin is fine, sugar is coarse; a rim is a case.", 0.1, (SHARDS,)),
        NextTest("temper_ladder", "tempers in steps of about 14 °C, a reading after each",
                 "It shows which temper gives the hardness wanted.", 3.0, (SPATTER,)),
        NextTest("brass_rod", "the edge of the tempered coupon pressed over a brass rod",
                 "Its toughness was never tried.", 0.5, (BLADE,)),
        NextTest("bend", "the tempered coupon bent beside a known bar",
                 "Its toughness was never tried.", 0.5, (SHARDS,)),
        NextTest("trial_blade", "one trial blade, cut on rope beside a known blade",
                 "Only a blade tells how long the edge lives.", 8.0, (BLADE, OTHERS)),
        NextTest("second_piece", "the same coupon from a second piece of the lot",
                 "One piece says little of its sisters.", 1.0, (FIRE,)),
        NextTest("laboratory", "an analysis by a laboratory",
                 "Nothing in the shop tells these apart.", 4.0),
    )
}  # fmt: skip
CAUTIONS_OF = {
    "first_step": (FUMES, HOLLOW, SPRING),
    "carburise": (MONOXIDE, FIRE),
    "reuse_trial": (BLADE, OTHERS),
    "light_use": (BLADE, OTHERS),
    "faster_quench": (STEAM,),
    "temper_hotter": (SPATTER,),
    "temper_cooler": (FIRE, SPATTER),
    "grind_skin": (EYES,),
}


def step_cautions(action, way):
    """What to mind at an action and its way; a heat has the fire's."""
    if way in TESTS_BY_CODE and action in ("go_on", "reuse_trial"):
        found = TESTS_BY_CODE[way].cautions
    else:
        found = CAUTIONS_OF.get(way or "", ()) or CAUTIONS_OF.get(action, ())
    return found or ((FIRE,) if action == "heat_treat_again" else ())

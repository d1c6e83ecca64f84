"""The doubts this room can raise, each as a short code with its sentence and its mend."""

from edgetest.estimate import explain

REASONS = {
    "one_piece": (
        "Only one piece was tested: the result holds for that piece, not for the lot; "
        "test a second piece before buying the lot."
    ),
    "brackets_only": (
        "Every reading is a file bracket; one Rockwell reading would narrow the interval most."
    ),
    "open_upward": (
        "The hardest file skated, so nothing bounds the hardness from above; "
        "the upper end comes from the scale's own end, not from a reading."
    ),
    "open_downward": (
        "The softest file bit, so nothing bounds the hardness from below; "
        "the lower end comes from the scale's own end, not from a reading."
    ),
    "pieces_differ": (
        "The pieces differ by more than the readings explain: treat each piece as its own steel."
    ),
    "readings_scatter": (
        "Readings on one piece scatter more than their stated error allows: clean off scale and "
        "decarburised skin, support the piece flat, and read again."
    ),
    "no_upper_carbon": (
        "Hardness gives no upper bound on carbon here: above about 0.65 % C fully hardened steel "
        "stays near 65 HRC, and incomplete hardening hides carbon."
    ),
    "not_hardened": (
        "Softer than martensite of 0.10 % C: the coupon did not harden, so its hardness says "
        "nothing about carbon; harden again hotter or in a faster quench."
    ),
    "harder_than_martensite": (
        "Harder than the published relation gives for any carbon: check the reading, or the "
        "scale it was converted from."
    ),
    "shallow_hardening": (
        "Hard from water, soft from oil: it hardens shallowly, so oil serves thin sections only; "
        "water or brine for the edge, temper at once, expect warping and cracks."
    ),
    "oil_hardening": ("Hard from oil: a blade section hardens without the risk of a water quench."),
    "air_hardening": (
        "Hard from still air: not a plain carbon steel; a water quench may crack it, and "
        "normalising will leave it hard."
    ),
    "does_not_harden": (
        "Soft even from water: too little carbon for an edge as it is, or quenched too cold."
    ),
    "tool_hardness": (
        "Hardens past 50 HRC but short of a knife edge: a chopper or tool may do with it, a fine "
        "edge wants a case."
    ),
    "quench_unclear": (
        "The hardness after quenching lies too near the mark to be called hard or soft."
    ),
    "quench_contradiction": (
        "A slower quench gave the harder steel, which contradicts itself: suspect too cold a "
        "quench, scale, a decarburised skin, or pieces exchanged; repeat both on one coupon."
    ),
    "temper_contradiction": (
        "Harder after the temper than as quenched, which contradicts itself: repeat the "
        "as-quenched reading below the skin, or check which piece was read."
    ),
    "carbon_contradiction": (
        "As-quenched hardness lies above what the stated carbon can give: check the analysis, "
        "the reading, and that both came from the same piece."
    ),
    "thick_section": (
        "The section is thicker than the coupon: its middle cools slower and may stay soft where "
        "the coupon was hard."
    ),
    "thin_edge": (
        "The edge is thinner than the coupon that stayed soft in oil: it cools faster, and may "
        "harden in oil after all; try a coupon as thin as the edge."
    ),
    "carbon_outside_table": (
        "Carbon leaves the range of the hardness relation (0.10 to 0.67 %): the hardness shown "
        "there is held at the end of the range."
    ),
    "retained_austenite": (
        "Carbon above about 0.9 %: some austenite may stay soft after the quench, and the real "
        "surface may be softer than shown."
    ),
    "carbide_network": (
        "The pack holds more than about 1.2 % carbon: carbides may form a net along the grains "
        "and the edge may chip; pack milder, or diffuse in a sealed heat afterwards."
    ),
    "heat_below_austenite": (
        "A heat below 727 °C leaves no austenite: the carbon is counted as not moving in it."
    ),
    "heat_outside_diffusivity": (
        "A heat lies outside 800 to 1100 °C, where the diffusivities were published: its carbon "
        "movement is extrapolated."
    ),
    "diffusivity_spread": (
        "Published diffusivities differ by up to 2.5 times and carry most of the interval; a "
        "coupon from your own pack narrows it."
    ),
    "not_through_hardened": (
        "The middle of the finished edge holds less carbon than wanted: sharpening will meet "
        "softer core."
    ),
    "ground_to_core": (
        "The grind goes deeper than the carburised case: the ground face will not harden as "
        "wanted; grind before the pack, not after."
    ),
    "needs_martensite_temper": (
        "The equivalence holds for plain tempering of hardened steel, not where the steel hardens "
        "again at high temper."
    ),
    "reference_missing": "No edge-retention result against a blade of known steel yet.",
    "no_evidence": "No evidence on this criterion yet.",
    "independent_evidence": (
        "The criteria are taken as independent given the evidence; the joint probability lies "
        "between the printed bounds whatever their dependence."
    ),
}


def chance(probability):
    """A probability in words that claim no more digits than it has."""
    if probability > 0.99:
        return "over 99 %"
    if probability < 0.01:
        return "under 1 %"
    return f"{100 * probability:.0f} %"


def reason(code, text=None):
    """A reason of this room as the pair that JSON and the document carry."""
    return explain(code, text or REASONS[code])

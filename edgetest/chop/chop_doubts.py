"""The doubts that chop results carry, each as a sentence with its mend."""

from edgetest.estimate import explain

WARNINGS = {
    "single_run": (
        "A blade with one billet: how much billets differ is then mostly an assumption (15 %);"
        " sever at least three with each blade."
    ),
    "small_counts": (
        "Fewer than ten chops in all for a blade: the exact interval is used; sever a larger"
        " cross-section or more billets."
    ),
    "overdispersed": (
        "The counts scatter more than chance alone; the interval is widened for it. Knots, grain"
        " and the hand differ: note them for each billet."
    ),
    "underdispersed": (
        "The counts scatter less than chance; the interval is tightened as far as few billets"
        " allow."
    ),
    "hardness_exponent_assumed": (
        "How chops grow with the wood's hardness is assumed, not measured: chop two woods of"
        " different hardness, or read the figures for the chopped wood only."
    ),
    "wood_far_from_reference": (
        "The chopped wood is more than twice as hard or as soft as the reference wood; the"
        " figure in reference wood leans on the assumption about hardness."
    ),
    "not_proportional_to_area": (
        "Chops did not grow in proportion to the cross-section; compare billets of one size."
    ),
    "dulling_seen": "The blade needed more chops as the test went on; see the loss figure.",
    "one_blade_per_treatment": (
        "One blade of a heat treatment: the blades can be compared, the heat treatments cannot."
    ),
    "one_blade": "One blade: its loss is its own; nothing is said about others like it.",
    "few_blades": (
        "Two blades of a kind: the spread between blades is hardly known and the interval is wide."
    ),
    "wood_by_name_only": (
        "The wood's hardness is its species' average; boards of one species differ by about"
        " 20 %. Weigh and measure the billet."
    ),
    "moisture_assumed": "Moisture was not measured; 12 % is assumed. Weigh wet and oven-dry.",
    "green_hardness_assumed": (
        "No green hardness for this wood is tabled; the usual ratio of green to dry is used."
    ),
    "zero_seen": (
        "None seen is not none: the figure is an upper bound, and falls as more is chopped."
    ),
    "blades_differ_in_damage": (
        "The blades differ in damage by more than chance; the pooled interval is widened."
    ),
    "short_pendulum": (
        "The balance point is so near the pivot that the period says little about inertia;"
        " hang the tool from nearer its end."
    ),
    "period_scatter": (
        "The repeated timings differ by more than the stopwatch allows; time more swings."
    ),
    "impossible_pendulum": (
        "The period is too short for the balance point given: the inertia about it comes out"
        " negative in part of the range. Check pivot, balance point and number of swings."
    ),
    "large_swing": "Swings wider than 20 degrees a side slow the pendulum; it is corrected for.",
    "measured_and_predicted_differ": (
        "Measured and predicted differ by more than their uncertainties: check the thickness"
        " stations, the parts of the handle, or the swing test."
    ),
    "assumed_swing": (
        "The swing is an assumed one, the same for all blades; it ranks blades, it does not"
        " tell what a certain arm does."
    ),
    "depth_censored": "Chops that went through are left out of the depths.",
    "few_depths": "Fewer than five depths for a blade: its loss is not estimated.",
    "given_up": (
        "Some billets were given up still standing; they count as far as they were cut, or as"
        " needing more chops than they got."
    ),
}


def caution(code):
    """The code and its sentence, as JSON and the document carry them."""
    return explain(code, WARNINGS[code])


def cautions(codes):
    """A list of codes as JSON carries it."""
    return [caution(code) for code in codes]

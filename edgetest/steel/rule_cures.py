"""What mends each contradiction of the physics of steel?"""

RULE_CURES = {
    "faster_softer": "Grind 0.3 mm off and file again below the skin; then quench both once more "
    "from one and the same heat, a magnet to tell it.",
    "tempered_harder": "Grind 0.3 mm off and file again below the skin, both before and after the "
    "temper, on the same place; where it holds after a hot temper the steel is high in alloy.",
    "hard_after_high_temper": "Check the oven with a second thermometer and file again; where it "
    "holds, harden a coupon in still air: the steel is high in alloy.",
    "skin_differs": "Trust the reading below: grind the skin off before any test. A soft skin has "
    "lost its carbon; a hard skin over a soft inside is a case.",
    "one_heat_hard_and_soft": "Grind 0.3 mm off both places and file again; where they still "
    "differ, quench both coupons once more from one and the same heat.",
    "alike_differ": "Sort each piece by itself: mark it, spark it, and take a coupon of its own.",
    "coarse_and_hard": "Normalise, then cycle three times, each less hot; harden a fresh coupon "
    "a little cooler and break it.",
    "cracked": "Normalise, take off every sharp corner and scratch, and quench slower; where it "
    "cracked in oil, in air or in warm oil.",
    "few_sparks_hard": "Grind 0.3 mm off, spark and file again below the skin: a case is rich in "
    "carbon outside only. Where it is hard below, harden a coupon in still air.",
    "many_sparks_soft": "Grind 0.3 mm off and file again below the skin; then quench hotter, past "
    "where the magnet lets go.",
    "not_magnetic_many_sparks": "Try the magnet on bright metal and spark it again beside both "
    "known pieces; where both hold, do not work it: manganese steel does not harden in a quench.",
    "hard_short_life": "Break a coupon of the same heat and look at the grain, file the blade "
    "below its skin, and measure the edge angle, before blaming the steel.",
}  # common practice, no source
COATED = ("painted", "galvanised", "plated", "hard_chrome", "unknown")
COATED_CURE = (
    "Neither grind nor heat it yet: have the coating known and taken off, then read again."
)

"""Numbers of README and guide that claim nothing of the world or the program, each with why.

Whoever writes a number that is none of these gives it an entry in `tests/guide/claimed`.
"""

EXAMPLE = "an example, invented or such as the program prints"
TO_DO = "what you are to do; common practice, no source"
MEANING = "what a word or a number means"
READING_TIME = (
    "a page of this kind has at most 1,500 words, at 150 words a minute; the pace is ours"
)
HELD = "held by tests/cli/test_contracts.py"
PICTURE = "what a picture shows, drawn from a simulation or a made photograph"

NOT_CLAIMS = {
    EXAMPLE: {
        "how_to/check_your_measuring": ['"below 2 µm"'],
        "how_to/cut_at_the_bench": ["cut to 100: 37 to go"],
        "how_to/find_the_scale": ["counted a tenth of the lines you count", "such as 10 µm"],
        "how_to/look_before_the_end": ["never beyond eight"],
        "how_to/make_the_document": ["'A held its edge about 1.6 times as long as B in this test'"],
        "how_to/photograph_at_the_bench": ["36 px (15 µm) right"],
        "how_to/photograph_the_edge": ['"below 1.8 µm"'],
        "how_to/quench_a_coupon": ["where 60 skated and 65 bit"],
        "how_to/read_a_comparison": [
            "H lasts 1.30 (1.05 to 1.61) times as long as S (95 % interval)",
            "'At 200 cuts the edge of H is 0.82 (0.75 to 0.90) times as wide'",
        ],
        "how_to/read_a_wear_curve": [
            "'190 cuts (170 to 213)'",
            "10 µm wide, thread force doubled, will not shave",
            "'More than 400 cuts, its last reading'",
        ],
        "how_to/use_grades_and_noted_lives": [
            "failed at 50, passed at 75",
            "A pass at 50 and a fail at 75 is a life between 50 and 75",
        ],
        "how_to/plan_a_test": ["Don't double them (1, 2, 4, 8 …)", "Double only for the early"],
        "start/compare_two_heat_treatments": [
            "tempered at 190 reach the limit of 12 µm later than the three tempered at 260"
        ],
        "why/one_lucky_test": ["one lasted half as long again"],
        "why/what_a_life_is": [
            "'more than 400 cuts'",
            "may win at 8 µm and lose at 20 µm",
        ],
        "why/what_an_interval_covers": ["'1.30 (1.05 to 1.61)'"],
        "why/why_no_alloy_is_named": ['"70 of 100"'],
        "why/why_strokes_vary": ["Twenty pieces with one hatchet"],
        "why/blades_are_the_replicates": ["Measure one edge ten times and the ten numbers"],
    },
    TO_DO: {
        "how_to/check_your_measuring": ["six times at least"],
        "how_to/chop_test_a_hatchet": ["Write 0 for none", "through one loupe for all tools"],
        "how_to/find_the_scale": ["Get ten or more into the picture"],
        "how_to/help_us_check": ["Read each block three times"],
        "how_to/join_or_stack_photographs": ["sharing a third or more"],
        "how_to/pack_with_carbon": ["Grind the edge to about 1 mm first"],
        "how_to/photograph_between_two_lamps": [
            "two opposite sectors of 40°, about 60° from the lens axis",
            "0.2 to 0.5 mm, straight",
        ],
        "how_to/quench_a_coupon": ["Grind 0.3 mm off"],
        "how_to/sort_scrap": ["where you ground 0.3 mm off"],
        "how_to/time_the_swing": ["less than 20°. Time 20 full swings", "back, three times"],
        "how_to/when_it_cannot_tell": ["If more than half, read more places"],
    },
    MEANING: {
        "how_to/check_your_measuring": ["ISO 5725-2"],
        "how_to/chop_test_a_hatchet": ["two of a 2x4"],
        "how_to/correct_a_measurement": [
            "where its light is half gone", "Bland and Altman 1986"
        ],
        "how_to/cut_at_the_bench": ["Tap +1, +5, +10 or All", "+1 missed the kerf"],
        "how_to/find_the_scale": ["If the scale is 2 % wrong, every result is 2 % wrong"],
        "how_to/help_us_check": [
            "with the 95 % interval of that share",
            "between which 95 % of the differences lie",
        ],
        "how_to/keep_a_log": ["row: `…` 1, 2, 3"],
        "how_to/keep_a_shop_book": ["are a 95 % range"],
        "how_to/photograph_the_edge": ["On `…` the aperture is 0.25"],
        "how_to/read_a_comparison": ["the interval leaves out 1"],
        "how_to/read_a_wear_curve": [
            "Of 100 such intervals, about 95 hold the true life",
            "at three times the blade's own fresh reading",
        ],
        "how_to/use_a_notebook": ["The heading is row 1"],
        "how_to/when_it_cannot_tell": ["makes a quarter your limit"],
        "start/compare_two_heat_treatments": ["The whole interval lies above 1"],
        "start/document_a_chopper": ["a 2x4", "Where that of the ratio holds 1"],
        "why/blades_are_the_replicates": ["The '95 %' interval"],
        "why/the_bright_band": ["The 95 % interval is about measuring"],
        "why/what_a_life_is": ["half of its blades last longer"],
        "why/what_an_interval_covers": [
            "an estimate with a 95 % interval. If you ran a hundred such tests, about 95 of"
        ],
        "why/why_no_alloy_is_named": [
            "of a hundred pieces that showed what yours showed, treated rightly, about 70"
        ],
    },
    READING_TIME: {
        "README": ["Start here, ten minutes each"],
        "start/compare_two_heat_treatments": ["Ten minutes: compare", "a document in ten minutes"],
        "start/document_a_chopper": ["Ten minutes: document"],
        "start/judge_a_mystery_steel": ["Ten minutes: judge"],
    },
    HELD: {
        "README": [
            "exit code 0 is done (a photograph that is refused with its reason is done too), 2 is "
            "input that cannot be used (one line a fault: what, where, how to mend it), 1 is a "
            "fault of the program"
        ],
    },
    PICTURE: {
        "how_to/help_us_check": ["the other is 10 % off"],
        "why/blades_are_the_replicates": ["Ten readings of one blade lie close together"],
    },
}  # fmt: skip

"""Found steel with trial blades: what a maker types, and what an honest smith concludes.

Written from smithing practice (common practice, no source) and the format of the study's file,
before a line of the rules that judge them was read: they are a judge from outside. All sizes and
days are invented. `Expected.unfair` marks what was dropped later, with the reason.

Kinds of expectation: `action` and `action_not` (one of these actions), `says` and `says_not` (a
pattern of the whole answer), `about` (the piece that the answer speaks of), `chance_below`,
`chance_above`, `chance_not_below`, `chance_not_above`, `chance_near` and `same_action`, `same_as`
(against the history named; no chance told counts as lower, and never as above), `order_free`
(typed in any order the answer is the same), `twice_free` (each row typed twice changes nothing),
`next_temper_above` (the temper named next is hotter), `asked` (entry or verdict asks or refuses).
"""

from tests.benchmarks.worlds.blade_histories_again import AGAIN, COUPONS
from tests.benchmarks.worlds.blade_histories_many import CASES, DISCS, SEVERAL
from tests.benchmarks.worlds.blade_histories_one import AFTER_HEAT, AFTER_TEMPER, OUTCOMES

GROUPS = {
    "one blade: stood, rolled, chipped, broke, lived short": OUTCOMES,
    "the same blade after a further temper": AFTER_TEMPER,
    "hardened again, or from a heat that nobody knows": AFTER_HEAT,
    "tried again, touched up, stoned, typed twice, a known cause": AGAIN,
    "a coupon that tells another story than the blade": COUPONS,
    "several blades of one disc": SEVERAL,
    "blades packed with carbon": CASES,
    "two discs, of one lot and of two": DISCS,
}
HISTORIES = {one.name: one for group in GROUPS.values() for one in group}

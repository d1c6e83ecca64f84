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

from tests.benchmarks.worlds.blade_histories_again import TRIED_AGAIN
from tests.benchmarks.worlds.blade_histories_many import MANY
from tests.benchmarks.worlds.blade_histories_one import ONE

HISTORIES = {one.name: one for one in (*ONE, *TRIED_AGAIN, *MANY)}

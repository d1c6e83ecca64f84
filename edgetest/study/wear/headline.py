"""What a maker reads first, what limits it, and what is good to know: one place for every surface.

The answer comes first, with every doubt that decides it in it; text, JSON, page and document
show the same sentences in the same order.
"""

from dataclasses import dataclass

from edgetest.doubts import GRAVITIES, codes, of_gravity, sentences
from edgetest.study.wear.choice import OTHER_SCALE, PASSED_FRESH, WITHIN_FRESH

# A doubt about all lives together says in one sentence what these say blade by blade.
SUMS = {
    "lives_beyond_readings": ("extrapolated", "stopped_before_limit"),
    WITHIN_FRESH: (PASSED_FRESH,),
}
# Doubts that stand before the answer, and what opens the answer behind them.
BEFORE = {OTHER_SCALE: "As it stands", WITHIN_FRESH: "Of the other blades"}


@dataclass(frozen=True)
class Headline:
    """The sentences of an answer: itself with what decides it, what limits it, the notes.

    `decides` are those of the answer that are doubts.
    """

    answer: tuple[str, ...]
    limits: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    decides: tuple[str, ...] = ()

    def summary(self):
        """The answer with the doubts that decide it, as a maker reads it out."""
        return " ".join(self.answer)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "answer": list(self.answer),
            "limits": list(self.limits),
            "notes": list(self.notes),
        }


def headline_of(answer, doubts, alternatives=(), look=""):
    """An answer's sentences and its doubts, in the order of their weight.

    Parameters
    ----------
    answer : sequence of str
        Sentences of the comparison; none where there is no comparison.
    doubts : sequence of Doubt
    alternatives : sequence of Alternative
        Other answers; what stands between them is said before anything else.
    look : str
        What a look of this answer says; it is one of `answer` too.

    Returns
    -------
    Headline
        Where there is no comparison the doubts that took it away stand in its place.
    """
    said = {part for one in doubts for part in SUMS.get(one.code, ())}
    shown = [one for one in doubts if one.code not in said]
    decides, limits, notes = (tuple(sentences(of_gravity(gravity, shown))) for gravity in GRAVITIES)
    opening = next((words for code, words in BEFORE.items() if code in codes(doubts)), "")
    if answer and opening:
        return Headline((*decides, f"{opening}: {answer[0]}"), limits, notes, decides)
    hangs = [one.what for one in alternatives if one.decides]
    if hangs:
        causes = " and on ".join(dict.fromkeys(hangs))
        first, *_ = answer  # a verdict and its chances would say what is not settled
        opening = f"Not settled: the answer hangs on {causes}."
        stands = [f"As it stands: {first}", *filter(None, [look])]
        return Headline((opening, *decides, *stands), limits, notes, decides)
    return Headline((*answer, *decides), limits, notes, decides)

"""The same answer otherwise: what would be said without one reading, blade, law or rule."""

from dataclasses import dataclass, replace

from edgetest.doubts import Doubt
from edgetest.study.wear.group_titles import titled_comparison
from edgetest.wear.compare.comparison_result import Ratio


@dataclass(frozen=True)
class Finding:
    """What is found of two heat treatments: ratio of lives, verdict, whether by the margin.

    Of readings at equal cuts `says` tells the ratio, with {first} and {second}, and the verdict
    is which of both is the better.
    """

    first: str
    second: str
    ratio: Ratio
    verdict: str
    reaches_margin: bool
    says: str = ""

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "ratio": self.ratio.to_dict(),
            "verdict": self.verdict,
            "reaches_margin": self.reaches_margin,
        }

    def turned(self):
        """The same with the one that lasts longer above the other; readings stay as they are."""
        return self if self.says or not self.ratio.estimate < 1 else self.swapped()

    def swapped(self):
        """The same of lives with the other heat treatment first."""
        verdict = {"shorter": "longer", "longer": "shorter"}.get(self.verdict, self.verdict)
        return replace(self, first=self.second, second=self.first, ratio=self.ratio.inverted(),
                       verdict=verdict)  # fmt: skip

    def verdict_words(self):
        """The verdict as a table says it."""
        better = {"second_is_better": self.second, "first_is_better": self.first}
        name = better.get(self.verdict)
        return f"{name} is the better" if name else self.verdict.replace("_", " ")

    def summary(self):
        """The finding in a few words, the longer one first."""
        if self.verdict == "cannot_tell":
            return f"cannot tell which {'is the better' if self.says else 'lasts longer'}"
        if self.says:
            return self.says.format(first=self.first, second=self.second)
        if self.verdict == "no_relevant_difference":
            return f"no relevant difference, {self.ratio}"
        longer, other, ratio = self.second, self.first, self.ratio
        if self.verdict == "shorter":
            longer, other = other, longer
            ratio = ratio.inverted()
        return f"{longer} lasts {ratio} times as long as {other}"


def finding_of(comparison, first=None, second=None):
    """The finding of a comparison, of its headline's pair or of another; None without it.

    Which of a pair comes first there hangs on the log's first blade, which may be left out.
    """
    first, second = first or comparison.first, second or comparison.second
    for found in _findings(comparison):
        if (found.first, found.second) == (first, second):
            return found
        if (found.first, found.second) == (second, first):
            return found.swapped()
    return None


def _findings(comparison):
    """The findings of the headline's pair and of the others, families of all pairs apart."""
    practical = comparison.practical
    yield Finding(comparison.first, comparison.second, comparison.ratio, practical.verdict,
                  practical.reaches_margin)  # fmt: skip
    edge = 1 + practical.margin
    for pair in comparison.pairs:
        if pair.family != "all pairs":
            reaches = pair.ratio.low > edge or pair.ratio.high < 1 / edge
            yield Finding(pair.first, pair.second, pair.ratio, pair.verdict, reaches)


def finding_at_cuts(at_cuts):
    """The finding of readings at equal cuts.

    Parameters
    ----------
    at_cuts : AtCuts

    Returns
    -------
    Finding
    """
    found, practical = at_cuts.comparison, at_cuts.comparison.practical
    places = {found.first: "{first}", found.second: "{second}"}
    said = replace(at_cuts, comparison=titled_comparison(found, places)).sentences()[0]
    said = said.rpartition(" (")[0]  # without "(95 % interval)."
    better = {"second": "second_is_better", "first": "first_is_better",
              "alike": "no_relevant_difference"}  # fmt: skip
    return Finding(
        found.first,
        found.second,
        found.ratio,
        better.get(at_cuts.verdict, at_cuts.verdict),
        practical.reaches_margin,
        says=said[0].lower() + said[1:],
    )


def changed(given, found):
    """Whether there is another finding, and its verdict is not that of the one given."""
    return found is not None and found.verdict != given.verdict


def lessened(given, found):
    """Whether another finding has the same verdict, but no longer by the margin."""
    if found is None or found.verdict != given.verdict:
        return False
    return given.reaches_margin and not found.reaches_margin


@dataclass(frozen=True)
class Alternative:
    """Another answer than the one given, and the doubt that stands between them.

    `what` names the cause ("one reading"); `with_it` and `without` open the two answers.
    `decides` is False where what was measured bears the answer given, and the other one only
    shows what it leans on. `stands` says what a reading has that somebody looked at and kept: its
    edge is "there" still, or "worn" on since; "" where nobody did.
    """

    what: str
    given: Finding
    other: Finding
    doubt: Doubt
    with_it: str = "With it"
    without: str = "Without it"
    decides: bool = True
    stands: str = ""

    @property
    def lessens(self):
        """Whether the verdict stands without its cause, but no longer by the margin."""
        return lessened(self.given, self.other)

    @property
    def ratio(self):
        """Ratio of lives of the other answer."""
        return self.other.ratio

    @property
    def verdict(self):
        """Verdict of the other answer."""
        return self.other.verdict

    def both(self):
        """The two answers side by side."""
        return f"{self.with_it}: {self.given.summary()}. {self.without}: {self.other.summary()}."

    def rows(self):
        """What opens each of the two answers, and the finding."""
        return (self.with_it, self.given), (self.without, self.other)

    def titled(self, titles):
        """The same with every heat treatment named by `titles` (id to title)."""

        def named(found):
            first, second = (titles.get(name, name) for name in (found.first, found.second))
            return replace(found, first=first, second=second)

        return replace(self, given=named(self.given), other=named(self.other))

    def told(self):
        """The doubt with both answers behind its sentence, and the gravity that they give it."""
        if not self.decides:
            return replace(self.doubt, text=f"{self.doubt.text} {self.both()}")
        text = f"{self.doubt.text} {self.both()}"
        return replace(self.doubt, gravity="decides", text=text)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "what": self.what,
            "decides": self.decides,
            "given": self.given.to_dict(),
            **self.other.to_dict(),
            "words": self.both(),
            "code": self.doubt.code,
            "where": self.doubt.where.to_dict(),
        }

"""How sure a comparison is, and what it cannot say, in words."""

from collections import defaultdict
from math import ceil, exp, inf, isfinite

from edgetest.doubts import doubt
from edgetest.estimate import ANYTHING
from edgetest.report.documents.advice import maker_section, parted
from edgetest.report.documents.blocks import bullets, section, table
from edgetest.report.letters import breakable
from edgetest.report.wording import ratio_interval
from edgetest.study.wear.group_titles import bare_titles_of, titles_of
from edgetest.study.wear.left_out_rows import CUT_ON
from edgetest.wear.compare.verdict_on_ratio import BladesNeeded, needed_fact

CLOSER = "; the stages between which these lives ended tell no closer"
NO_FURTHER = frozenset(CUT_ON.values())  # doubts of a blade that is cut no further


def parted_answer(result):
    """The answer's sentences without what they ask of the maker, and what that is.

    A doubt that decides is told whole: its advice is the reader's too.

    Returns
    -------
    (list of str, list of str)
    """
    said, asked = [], []
    for line in result.headline.answer:
        facts, more = ([line], []) if line in result.headline.decides else parted([line])
        said += facts
        asked += more
    return said, asked


def both_answers(result):
    """With and without what the answer hangs on, in a table; nothing where it hangs on nothing."""
    if not result.alternatives:
        return []
    columns = [
        ("The answer", "left", 2.0),
        ("Ratio of", "left", 1.6),
        ("Ratio", "right", "auto"),
        ("Interval", "right", "auto"),
        ("Verdict", "left", 1.0),
    ]
    rows = [
        [
            breakable(words),
            breakable(f"{found.second} : {found.first}{', readings' if found.says else ''}"),
            *ratio_interval(found.ratio.estimate, found.ratio.low, found.ratio.high),
            found.verdict_words(),
        ]
        for one in result.alternatives
        for words, found in ((words, each.turned()) for words, each in one.rows())
    ]
    hangs = any(one.decides for one in result.alternatives)
    caption = "with and without what decides" if hangs else "the first stands, the second limits it"
    return [table(columns, rows, caption=f"Both answers, {caption}.")]


def doubt_section(result, numbers):
    """What limits the answer, then uncertainty in words a customer understands."""
    lines, _ = parted(result.headline.limits)
    if numbers:
        ratio = numbers["ratio"]
        value, interval = ratio_interval(ratio["estimate"], ratio["low"], ratio["high"])
        if interval == ANYTHING:
            lines.append("The lives leave the ratio open: ten times either way fits them.")
        elif " to " in interval:
            lines.append(_done_again(numbers, value, interval))
        lines += _scatter_words(numbers["groups"], result)
    lines += _power_words(result.fit.powers, titles_of(result.study))
    return section("How sure this is", bullets(dict.fromkeys(lines)))


def _done_again(numbers, value, interval):
    """What the level of an interval means: of the whole test, or of the same blades once more."""
    best = f"The ratio of {value} is the best estimate."
    cases = f"in {numbers['ratio']['level'] * 100:g} of 100 cases"
    if numbers["scope"] == "blades":
        both = {numbers["first"], numbers["second"]}
        asked = [group for group in numbers["groups"] if group["treatment"] in both]
        count = sum(len(group["blades"]) for group in asked)
        these = f"{'two' if count == 2 else count} blades"
        return (
            f"{best} If these {these} were cut and read again many times, intervals made this "
            f"way, here {interval}, would hold the ratio of these blades {cases}. Of other blades "
            "they say nothing."
        )
    return (
        f"{best} If the whole test were done again many times, intervals made this "
        f"way{_at_every_look(numbers)}, here {interval}, would hold the true ratio {cases}."
    )


def _scatter_words(groups, result):
    """How far the blades of each heat treatment differ in life, and so do the rolls they met."""
    study = result.study
    bare = bare_titles_of(study)
    said = {bare[name]: title for name, title in titles_of(study).items()}
    batch_of = {one.id: one.batch for one in study.blades} if study else {}
    for group in groups:
        if group["sd_log_life"] is not None:
            apart = _met_apart(group, result.readings, batch_of)
            held = "; part of it may be the rolls, boards or days that they met" * apart
            spread = 100 * (exp(group["sd_log_life"]) - 1)
            name = said.get(group["treatment"], group["treatment"])
            by, closer = "about " if spread >= 0.5 else "less than ", ""
            if group.get("sd_at_most"):
                by, closer, spread = "at most ", CLOSER, ceil(spread)
            yield (
                f"The {group['replicates']} {group['counted']} of {name} differ from one another "
                f"by {by}{max(spread, 1):.0f} % in life (standard deviation{closer}{held})."
            )


def _met_apart(group, readings, batch_of):
    """Whether the blades of a heat treatment, or its batches, did not all meet the same blocks."""
    runs = {(one.blade, one.block) for one in readings
            if not one.excluded and {one.blade, one.run} & set(group["blades"])}  # fmt: skip
    met = defaultdict(list)
    for blade, block in sorted(runs):
        own = batch_of.get(blade) if group["counted"] == "batches" else None
        met[own or blade].append(block)
    return len({tuple(sorted(blocks)) for blocks in met.values()}) > 1


def _at_every_look(numbers):
    """What the level of the interval counts besides this one, where looks were fixed."""
    looks = numbers["look"]["of"] if numbers["look"] else 1
    return f", those of all {looks} looks together" if looks > 1 else ""


def _power_words(powers, titles):
    """A sentence on the powers of the wear law, none where it has none."""
    if not powers:
        return []
    first = next(iter(powers.values()))
    if not first.low < first.value < first.high:
        return [f"The power of the wear law was set to {first.value:g}."]
    each = "; ".join(f"{titles.get(name, name)}: {one.summary()}" for name, one in powers.items())
    return [
        f"The power of the wear law, one for each heat treatment: {each}. A worn wedge that loses "
        "the same volume with each cut has 2."
    ]


def notes_section(result):
    """What is good to know; a demonstration's stamp says elsewhere that its data are invented."""
    notes, _ = parted(_notes_of(result))
    return [section("Good to know", bullets(notes))] if notes else []


def _notes_of(result):
    return [words for words in result.headline.notes if words != doubt("invented").text]


def asked_section(result):
    """What answer and doubts ask of the maker; none of it is the customer's to do."""
    own = parted_answer(result)[1]
    return maker_section([*result.headline.limits, *_notes_of(result)], own)


def limits_section(result, numbers):
    """What these data cannot say, and what would let them."""
    medium = result.protocol.medium
    lines = [
        f"The lives hold for what was cut (the protocol asks for {medium.kind}), "
        f"{_limit_and_angle(result)}. Another medium, angle or limit can turn the order round; "
        "test that to know it."
    ]
    lines += _beyond_words([fit for fit in result.fit.blades if fit.life is not None])
    if numbers:
        scope = numbers["scope"]
        if scope == "blades":
            lines.append(
                "The blades are compared, not their heat treatments: with one blade the difference "
                "between blades of one heat treatment is not known."
            )
        if scope == "batches":
            lines.append(
                "The batches are compared, not the heat treatments as such: all blades of a heat "
                "treatment came, or may have come, out of one batch. A second batch of each would "
                "allow more to be said."
            )
        needed = numbers["blades_needed_detail"]
        if needed:
            counted, margin = numbers["groups"][0]["counted"], numbers["practical"]["margin"]
            lines.append(needed_fact(BladesNeeded(**needed), counted, scope, margin=margin))
    lines.append(
        "It tells of wear, not of toughness: a blade that holds its edge longer may chip or break "
        "sooner. These are observations of a test, no certificate of a blade or a steel."
    )
    return section("What the data cannot say", bullets(lines))


def _beyond_words(fits):
    """What lives beyond the last stage rest on; only blades that can be are to be cut on."""
    beyond = [fit for fit in fits if fit.life.extrapolated]
    if beyond:
        yield (
            "Where a life lies beyond the last stage, the law of wear carries it, not the data. "
            + (
                "Other blades in their place would settle it."
                if all(map(_cut_short, beyond))
                else "Cutting those blades on to the limit, if they are sound, would settle it."
            )
        )
    least = [fit for fit in fits if fit.life.high == inf and not isfinite(fit.life.cuts)
             and not getattr(fit, "came_back", None)]  # fmt: skip
    if least:
        yield "A blade that did not come near the limit has only a least life." + (
            " Another blade in its place would have one."
            if all(map(_cut_short, least))
            else " Cutting it on, if it is sound, would give it one."
        )


def _cut_short(fit):
    """Whether a blade is cut no further: its doubts say so in place of those that bid it."""
    return any(one.code in NO_FURTHER for one in fit.doubts)


def _limit_and_angle(result):
    """What the lives hold for besides medium and batch; an angle only where it is noted."""
    angles = {blade.angle_words() for blade in result.study.blades}
    if "" in angles or not angles:
        return "this supply of it and this limit"
    angle = "this edge angle" if len(angles) == 1 else "these edge angles"
    return f"this supply of it, this limit and {angle}"

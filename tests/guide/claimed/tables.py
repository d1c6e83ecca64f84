"""Figures that the sentences above a table quote, held to its own rows."""

from functools import partial
from math import hypot

from tests.guide.claims import Claim
from tests.guide.figures import cell, column, holds, numbers, place, row, rows, table, word
from tests.guide.tables import tables


def asked(name, option):
    """The number that follows a word of the command that made a table."""
    words = tables()[name].front["command"].split()
    return int(words[words.index(option) + 1])


def sums(name, *heads):
    """The row "all" of a table holds what the rows above it add up to."""
    *parts, whole = table(name)[1]
    for head in heads:
        at = place(name, head)
        assert sum(numbers(each[at])[0] for each in parts) == numbers(whole[at])[0], head
    return tuple(int(numbers(whole[place(name, head)])[0]) for head in heads)


def missed():
    """Which share of chopped or reckoned pieces lies below 93 %."""
    found = {
        (each[0], at)
        for each in table("chop_judge")[1]
        for at in (1, 2)
        if each[at].endswith(tuple("0123456789")) and "%" in each[at] and numbers(each[at])[0] < 93
    }
    assert found == {
        ("strokes scatter more than chance", 1), ("knots", 2), ("turned pieces", 2)
    }  # fmt: skip
    return 93


def two_workers():
    """How many times as fast two workers are; memory grows by a few MB at most."""
    one, two = (row("cluster_speed", workers) for workers in ("1", "2"))
    for held in (numbers(each[at]) for each in (one, two) for at in (3, 4)):
        assert held[-1] - held[0] < 10
    return numbers(one[1])[0] / numbers(two[1])[0]


def worst_of_lamps():
    """The row of turned lamps holds the worst width of all."""
    worst = {each[0]: numbers(each[4])[1] for each in table("crest_between_lamps")[1] if each[4]}
    assert max(worst, key=worst.get) == "lamps turned by 10 to 25°, and told so"
    return ()


def in_order(found, *, high=False):
    """Numbers of rows that stand by them, the lowest first or the highest."""
    assert found == sorted(found, reverse=high)
    return ()


def within_luck():
    """No chance told is off by more than luck allows in a table of its length; worst first."""
    told = []
    for *_, said, true, off in table("chance_told")[1]:
        luck = hypot(*(each[1] for each in map(numbers, (said, true)) if len(each) > 1))
        told.append(abs(numbers(off)[0]))
        assert told[-1] < 2.5 * luck
    return in_order(told, high=True)


def worst_first(name, head, *, high=False):
    """A table that says so has its worst row first."""
    return in_order(column(name, head), high=high)


def all_of(row):
    """Whether a row is of all cases, or of all that were written in one way."""
    return row[0].split(",")[0] == "all"


def worst_ratio_first(name, head):
    """Of a table whose last rows are all of a half, the others stand by the ratio held."""
    at = place(name, head)
    return in_order([numbers(each[at])[0] for each in table(name)[1] if not all_of(each)])


def told_unlike():
    """Studies in which one tool alone dulls, those told of it, and none told of the others."""
    name = "two_tools_that_dull"
    at = place(name, "said to dull unlike")
    told, among = [0, 0], [0, 0]
    for each in table(name)[1]:
        if each[0] != "all":
            said, studies = numbers(each[at])
            told["alone" in each[0]] += int(said)
            among["alone" in each[0]] += int(studies)
    assert told[False] == 0
    return told[True], among[True]


def lives_short_in_one_half():
    """Rows whose lives were held less than in 93 %, each with an other half that held more."""
    name = "read_once_a_stage"
    at = place(name, "lives within the stages held")
    held = {each[:2]: numbers(each[at])[0] for each in table(name)[1] if each[0] != "all"}
    short = [row for row, share in held.items() if share < 93]
    other = {"even": "odd", "odd": "even"}
    assert all(held[law, other[half]] > 93 for law, half in short)
    return word(len(short))


def rolls_short():
    """SDs of rolls of the rows whose ratio was held in less than 93 %; which rows these are."""
    name = "changed_rolls_in_run"
    at = place(name, "ratio of lives held")
    short = [each[:2] for each in table(name)[1] if numbers(each[at])[0] < 93]
    cases = ("0.30, a roll mostly to each treatment", "0.30, all changed alike")
    both = (*cases, "0.15, a roll mostly to each treatment")
    wanted = {(case, half) for case in both for half in ("even", "odd")}
    named = [row for row in short if row not in wanted]
    assert len(short) == len(wanted) + len(named)
    assert sorted(each for each, _ in named) == [
        "all, rolls in batch",
        "all, the first roll in block",
    ]
    return 93, 0.30, 0.15


def rolls_never_told():
    """Rows in which rolls that were not shared are never told, though they were many."""
    name = "changed_rolls_in_run"
    at = place(name, "unevenly shared, and told")
    for each in table(name)[1]:
        told, *among = numbers(each[at]) or (0, 0)
        if "one blade alone" in each[0]:
            assert told == 0
            assert among[0] > 15
        elif among != [0]:
            assert told > 0
    return ()


def least_of_row_first():
    """Shops whose mean was held least, whatever the number of studies, stand first."""
    return in_order([min(map(float, each[1:6])) for each in table("shop_worlds_mean")[1]])


def largest_errors_first():
    """Widths in worlds of pictures stand by their root mean square error."""
    off = [numbers(each[2])[1] for each in table("width_second_world")[1]]
    return in_order(off, high=True)


def none_wrong():
    """Upper bound of a share with none wrong, by the rule of three, per cent."""
    _, pairs, wrong, *_ = row("outline_pairs", "two edges")
    assert wrong == "0"
    return int(pairs), 300 / int(pairs)


def less_sure(head):
    """How much less sure doubling stages leave a life than the best ones, per cent."""
    at = place("stages_fitted", head)
    best, doubled = (
        [numbers(each[at])[0] for each in rows("stages_fitted", _1=kind)]
        for kind in ("best", "doubling")
    )
    found = [100 * (two / one - 1) for one, two in zip(best, doubled, strict=True)]
    return round(min(found)), round(max(found))


def looks_at_most():
    """The greatest numbers of blades a side among the plans with looks."""
    most = sorted({int(numbers(each[1])[-1]) for each in table("looks")[1]})
    return f"{', '.join(map(str, most[:-1]))} or {most[-1]}"


def fuzzed():
    """Cases of the table, of which none met a fault of the program."""
    name, heads = "input_fuzz", table("input_fuzz")[0][1:]
    total = sum(sum(column(name, head)) for head in heads)
    assert total == 100_000
    assert sum(column(name, heads[-1])) == 0
    return ()


def on_screen():
    """Every step ends on the tablet, whose height is told."""
    assert max(column("bench_one_screen", "ends at")) <= 1180
    return ()


def heard_of_seven():
    """The share of intervals that held at three studies, as so many of seven shops."""
    low = min(column("shop_years", "held at 3"))
    assert round(100 * 6 / 7, 1) == low
    return 7, low


def size(name, words, option, times=1):
    """A claim of how many were made, as the command asks for it."""
    return Claim(f"tables/{name}", words, lambda: times * asked(name, option))


SIZES = (
    size("deciding_doubts", "{} a cell", "tests.benchmarks.deciding_doubts"),
    size("life_own_law", "{} studies a row", "tests.benchmarks.life_coverage"),
    # Two heat treatments of three blades.
    size("life_worlds", "{} lives a row", "tests.benchmarks.life_worlds", times=6),
    size("shop_batches_mean", "{} invented shops of each kind", "--count"),
    size("shop_worlds_mean", "{} shops of each kind", "--count"),
    size("shop_worlds_next", "{} shops of each kind", "--count"),
    size("side_singles", "{} pictures of a kind", "--count"),
    size("steel_calibration", "{:,} pieces each", "--count"),
    size("steel_hours", "{} lots of alike pieces", "--lots"),
    size("steel_hours_worlds", "{} lots a world", "--lots"),
    size("width_first_world", "{} pictures a kind", "--n"),
    size("width_second_world", "{} pictures a kind", "--count"),
)

CLAIMS = (
    *SIZES,
    Claim("tables/bench_one_screen", "A tablet of 820 × 1180 px, without scrolling", on_screen),
    Claim(
        "tables/blade_histories",
        "199 of {} expectations held",
        lambda: sums("blade_histories", "expectations", "hold", "do not", "unfair")[0],
    ),
    Claim(
        "tables/chance_of_a_ratio",
        "{0:.2f} is from 1/{0:.2f} to {0:.2f} times",
        lambda: numbers(row("chance_of_a_ratio", "3")[2])[0],
    ),
    Claim("tables/chance_told", "No row is off by more than luck allows", within_luck),
    Claim("tables/chop_judge", "The goal of {} % is missed where strokes scatter more", missed),
    Claim(
        "tables/cluster_speed", "two workers {:.2f} times as fast", two_workers
    ),
    Claim(
        "tables/comparison_worlds",
        "worst first",
        lambda: worst_first("comparison_worlds", "ratio held, %"),
    ),
    Claim("tables/chop_judge", "worse first", lambda: worst_first("chop_judge", "as chopped")),
    Claim(
        "tables/side_singles",
        "worse first",
        lambda: worst_first("side_singles", "false, no word", high=True),
    ),
    Claim("tables/shop_worlds_mean", "worst first", least_of_row_first),
    Claim("tables/width_second_world", "Worst first", largest_errors_first),
    *(
        Claim(f"tables/{name}", "the worst ratio first", partial(worst_ratio_first, name, head))
        for name, head in (
            ("two_tools_that_dull", "ratio of strokes held"),
            ("read_once_a_stage", "ratio of lives held"),
            ("changed_rolls_in_run", "ratio of lives held"),
        )
    ),
    Claim(
        "tables/changed_rolls_in_run",
        "Less than {} % held on mixed lots (SD of rolls {:.2f}) where a roll fell mostly to each "
        "heat treatment and where all changed alike, on ordinary rope ({:.2f})",
        rolls_short,
    ),
    Claim(
        "tables/changed_rolls_in_run",
        "That rolls were not shared is never told where one blade alone changed.",
        rolls_never_told,
    ),
    Claim(
        "tables/two_tools_that_dull",
        "a doubt says so in {} of {} such studies, and in none of the others",
        told_unlike,
    ),
    Claim(
        "tables/read_once_a_stage",
        "held less than 93 % in {} rows, and more than that",
        lives_short_in_one_half,
    ),
    Claim("tables/crest_between_lamps", "The worst error comes from lamps turned", worst_of_lamps),
    Claim(
        "tables/disk_faults",
        "Wrong is what was lost",
        lambda: holds(sums("disk_faults", "faults", "done", "told", "died", "wrong")[-1] == 0),
    ),
    Claim(
        "tables/index_faults",
        "Answered are those",
        lambda: holds(sums("index_faults", "faults", "answered", "killed", "wrong")[-1] == 0),
    ),
    Claim("tables/input_fuzz", "two runs of 50,000", fuzzed),
    Claim("tables/looks", "At most {} blades a side", looks_at_most),
    Claim("tables/outline_pairs", "with none wrong in {}, at most {:.1f} % may be", none_wrong),
    Claim("tables/shop_years", "({} of 60 shops in the row of {})", heard_of_seven),
    Claim(
        "tables/side_pairs",
        "two edges of one grinder ({} pairs)",
        lambda: int(cell("side_pairs", "pairs", "unrelated")),
    ),
    Claim(
        "tables/stages_fitted",
        "leave the life {} to {} % less sure than the best ones, as told {} to {} %",
        lambda: (*less_sure("error of fitted lives"), *less_sure("u(log life) told")),
    ),
    Claim(
        "tables/steel_calibration",
        "With nothing known of the heap the goal is missed in all {}",
        lambda: word(sum(numbers(each[3])[0] > 0.05 for each in table("steel_calibration")[1])),
    ),
    Claim(
        "tables/swapped_names",
        "A swap is found by how far apart",
        lambda: holds(sums("swapped_names", "studies", "said for nothing")),
    ),
    Claim(
        "tables/width_confident_errors",
        "{} lay farther than three half-widths from the truth",
        lambda: word(sum(column("width_confident_errors", "confident errors"))).capitalize(),
    ),
)  # fmt: skip

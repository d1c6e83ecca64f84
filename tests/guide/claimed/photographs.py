"""Claims about widths, scales, crests and side views in photographs."""

from inspect import signature
from math import asin, degrees, hypot

from edgetest.photo.apex.apex_light import SIN_FACING, height_lost_ratio, leaning_sine
from edgetest.photo.apex.edge_width import LEAST_SHARE
from edgetest.photo.glints.needle_light import LAMPS_DEG, TURNED_DEG
from edgetest.photo.scale.ruling_lines import MIN_LINES
from edgetest.photo.scale.ruling_scale import scale_from_bar, scale_from_marks
from edgetest.photo.tone_steps import ENOUGH_STEPS
from edgetest.stats.agreement import LEAST_PAIRS
from edgetest.store.images import MOST_PIXELS
from edgetest.study.photos.sort_looks import EVERY
from tests.guide.claims import Claim
from tests.guide.figures import cell, column, down, holds, numbers, row, table, word
from tests.guide.tables import tables

PLAIN, HARD = "plain, 9 to 60 px", "hard, 8 to 60 px: everything of a bench at once"
BENCH = (PLAIN, HARD)
NARROW = "reads 4 to 7 % narrow"


def off_on_the_bench():
    """Root mean square error of ordinary pictures and the share of intervals that hold."""
    told = [row("width_second_world", kind) for kind in BENCH]
    (off,) = {f"{numbers(each[2])[1]:.1f}" for each in told}
    held = [down(numbers(each[4])[0]) for each in told]
    return off, min(held), max(held)


def out_of_focus():
    """The worst width out of focus in the world of ordinary pictures."""
    return cell("width_second_world", "worst", "out of focus, disc of 2 to 30 px")


def worst_camera():
    """Nothing known of the camera: the worst is off by about a quarter, and no interval missed."""
    told = table("width_tone_unknown")[1]
    assert 22 <= max(numbers(each[3])[0] for each in told) <= 28
    assert {numbers(each[4])[0] for each in told} == {100}
    return ()


def said_nothing():
    """Widths that were looked at, and those far off without a word."""
    assert "393 widths" in tables()["width_confident_errors"].text
    wrong = [numbers(each[2])[0] for each in table("width_confident_errors")[1]]
    return 393, word(sum(wrong))


def worst_unsaid():
    """How far off the worst of them was, per cent: one out of focus."""
    off = {each[0]: numbers(each[3])[-1] for each in table("width_confident_errors")[1][1:]}
    assert max(off, key=off.get) == "out of focus"
    return off["out of focus"]


def burr():
    """How much too narrow a width with a burr is, per cent."""
    return tuple(map(int, numbers(row("width_confident_errors", "burr along the edge")[3])[:2]))


def tone_known():
    """Half-width of the interval, per cent: nothing known of the camera, its curve known."""

    def middle(name):
        return sum(cell(name, "half-width, median", kind) for kind in BENCH) / len(BENCH)

    return middle("width_tone_unknown"), middle("width_second_world")


def ruling():
    """Half-width of a scale from lines in good focus, least and most, per cent."""
    half = [cell("scale_accuracy", "half-w. %", each) for each in ("plain", "hard", "upright")]
    return f"{min(half):.3f}", f"{max(half):.2f}"


def run_together():
    """The spacing over the blur from which nearly all is right, pictures nearer, wrong scales."""
    near = [each for each in table("close_rulings")[1] if numbers(each[0])[1] <= 3.5]
    shown, refused, wrong = (
        sum(column("close_rulings", head, near)) for head in ("pictures", "refused", "wrong")
    )
    assert refused > shown / 2
    assert sum(column("close_rulings", "wrong")) == wrong
    return 3.5, int(shown), int(wrong)


def placed(scale):
    """Standard uncertainty of a distance between two ends that were set by hand, pixels."""
    known = {name: each.default for name, each in signature(scale).parameters.items()}
    return hypot(known["mark_sd_px"], known["mark_sd_px"], known.get("bar_sd_px", 0.0))


def narrow():
    """Pixels of width below which a third of the pictures or more have only an upper limit."""
    measured, bound, refused = numbers(row("width_second_world", "narrow, 2 to 8 px")[1])
    assert bound > (measured + bound + refused) / 3
    return 8


def leans(slope):
    """How far steel may lean and still shine into a lens of aperture 0.10, degrees."""
    return degrees(asin(leaning_sine(0.10, slope)))


def told_rightly():
    """Made pictures with a known cause, and the per cent that were told it."""
    pictures = sum(column("refusals_told", "pictures"))
    return int(pictures), 100 * sum(column("refusals_told", "rightly told")) / pictures


def everyday():
    """Crops of everyday photographs, every one refused."""
    _, shown, refused, _ = row("refusals_told", "everyday")
    assert shown == refused
    return shown


def passed(kind, of):
    """Share of bad pictures that the bench let pass, as one of so many or tenths."""
    advised, shown = numbers(row("shot_words", kind)[1])
    return word(of * (1 - advised / shown))


def deep():
    """Pixels of depth from which a chip is found nearly always."""
    assert min(column("side_singles", "found")) > 0.9
    (depth,) = numbers(tables()["side_singles"].text.split("damage of ")[1].split(" and")[0])
    return int(depth)


CLAIMS = (
    Claim(
        "README",
        "Ordinary bench pictures ('plain', 'hard') are off by {} % (root mean square), and {} to "
        "{} % of their 95 % intervals hold the truth",
        off_on_the_bench,
    ),
    Claim("README", "out of focus are up to {} % off", out_of_focus),
    Claim("README", "the worst is off by a quarter, with an interval that says so", worst_camera),
    Claim(
        "README", "Of {} widths of all kinds, {} were far off without a word", said_nothing
    ),
    Claim("README", "one of them, out of focus, by {:.0f} %", worst_unsaid),
    Claim(
        "why/the_bright_band",
        "off by {} %, and {} to {} % of the intervals hold the truth",
        off_on_the_bench,
    ),
    Claim("why/the_bright_band", "pictures out of focus: up to {} % off", out_of_focus),
    Claim("why/the_bright_band", "a burr: {} to {} % too narrow", burr),
    Claim("how_to/photograph_the_edge", "makes the width {} to {} % too small", burr),
    Claim(
        "why/the_bright_band",
        "the worst off by a quarter, with an interval that says so",
        worst_camera,
    ),
    Claim(
        "why/the_bright_band",
        "of {} new widths, {} were badly wrong without a warning",
        said_nothing,
    ),
    Claim("why/the_bright_band", "one, out of focus, by {:.0f} %", worst_unsaid),
    Claim(
        "how_to/calibrate_the_camera", "some {:.0f} % instead of {:.0f} %", tone_known
    ),
    Claim(
        "how_to/calibrate_the_camera", "at {} shutter times or more", lambda: word(ENOUGH_STEPS)
    ),
    Claim("how_to/find_the_scale", "{} to {} % in good focus", ruling),
    Claim(
        "how_to/find_the_scale",
        "{:.1f} px over the distance; a bar {:.1f} px",
        lambda: (placed(scale_from_marks), placed(scale_from_bar)),
    ),
    Claim(
        "how_to/find_the_scale",
        "You set an end to half a pixel, so two make {:.1f} px",
        lambda: hypot(0.5, 0.5),
    ),
    Claim(
        "why/what_a_photograph_cannot_say",
        "A lens of aperture 0.10 sees steel that leans up to {:.0f}° if it's polished, up to "
        "{:.0f}° if it's rough",
        lambda: (leans(0.01), leans(0.20)),
    ),
    Claim(
        "why/what_a_photograph_cannot_say",
        "where the surface leans by {:.0f}°",
        lambda: degrees(asin(SIN_FACING)),
    ),
    Claim(
        "why/what_a_photograph_cannot_say",
        "one and a half times as much at 30° included",
        lambda: holds(round(height_lost_ratio(30), 1) == 1.5),
    ),
    Claim(
        "how_to/photograph_between_two_lamps",
        "({:.0f} to {:.0f}°)",
        lambda: LAMPS_DEG,
    ),
    Claim(
        "how_to/photograph_between_two_lamps", "within {:.0f}°", lambda: TURNED_DEG
    ),
    Claim(
        "how_to/photograph_the_edge",
        "until the band is at least {} pixels wide. A narrower one often gives only an upper limit",
        narrow,
    ),
    Claim(
        "how_to/find_the_scale",
        "Lines nearer than {} times the blur run together, and the long marks can pass for all of "
        "them. Most such pictures are refused. Of {} drawn ones {} passed with a wrong scale",
        run_together,
    ),
    Claim("how_to/find_the_scale", "{} at the least", lambda: word(MIN_LINES)),
    Claim("how_to/photograph_chips", "A chip needs {} px of depth", deep),
    Claim(
        "how_to/photograph_at_the_bench",
        "passed {} in ten simulated pictures too far out of focus to measure, and a ring light in "
        "one of three",
        lambda: passed("out of focus, moved: no width to be had", 10),
    ),
    Claim(
        "how_to/when_a_photograph_is_refused",
        "Of {} made pictures, {:.0f} % got the true reason or a right width",
        told_rightly,
    ),
    Claim("tables/refusals_told", "{1:.0f} % of {0} got a reason", told_rightly),
    Claim(
        "how_to/when_a_photograph_is_refused",
        "below {:.0f} million pixels",
        lambda: MOST_PIXELS / 1e6,
    ),
    Claim(
        "how_to/when_a_photograph_is_refused",
        "down to an eighth of the length",
        lambda: holds(round(1 / LEAST_SHARE) == 8),
    ),
    Claim("start/borders", "{} crops of everyday photographs", everyday),
    Claim(
        "how_to/correct_a_measurement", "One picture in {} comes twice", lambda: word(EVERY)
    ),
    Claim("how_to/correct_a_measurement", "After {} pairs", lambda: word(LEAST_PAIRS)),
)  # fmt: skip

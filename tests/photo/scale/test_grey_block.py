"""Grey blocks beside marks, drawn by hand: 300 rows, marks 30 px apart, strips of 12 rows."""

import numpy as np
import pytest

from edgetest.photo.scale.grey_block import runs_together
from edgetest.photo.scale.ruling_lines import LineSet

ROWS, COLS, PITCH, STRIP = 300, 400, 30, 12
INK, GROUND = 0.2, 0.6
MIDDLES = np.arange(20, COLS, PITCH)
BLOCK, MARKS = (60, 150), (150, 230)  # first row and last + 1


def drawn(dark=0.2, *, block=BLOCK, sign=-1, ink=INK):
    """A block `dark` of the ground below (or above) it, and marks that come out of it."""
    light = np.full((ROWS, COLS), GROUND)
    light[slice(*block)] += sign * dark * GROUND
    for middle in MIDDLES:
        light[slice(*MARKS), middle - 1 : middle + 2] += sign * ink * GROUND
    return light.astype(np.float32)


def found(*, sign=-1, rows=MARKS, strip=STRIP, line_px=3.0, blur_px=0.6, **other):
    """The marks, found in all strips between two rows."""
    middle = np.arange(rows[0] + strip / 2, rows[1] - strip / 2 + 1, strip) - (ROWS - 1) / 2
    index = np.repeat(np.arange(MIDDLES.size), middle.size)
    return LineSet(**{
        "angle_deg": 0.0, "index": index, "across": MIDDLES[index] - (COLS - 1) / 2,
        "along": np.tile(middle, MIDDLES.size), "sd": np.full(index.size, 0.05),
        "pitch_px": float(PITCH), "bright": sign > 0, "line_px": line_px, "blur_px": None,
        "fitted_blur_px": blur_px, "filled": 1.0, "misfit": 0.0, "evenness": 1.0, "hidden": False,
        "stubs": False, "sections": False, "weight": 1.0,
    } | other)  # fmt: skip


@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize("turned", [False, True])
def test_a_block_that_all_marks_come_out_of_is_lines_run_together(sign, turned):
    """At either end of the marks; without it they are lines alone."""
    rows = (ROWS - MARKS[1], ROWS - MARKS[0]) if turned else MARKS
    step = -1 if turned else 1
    assert runs_together(drawn(sign=sign)[::step].copy(), found(sign=sign, rows=rows))
    assert not runs_together(drawn(0.0, sign=sign)[::step].copy(), found(sign=sign, rows=rows))


@pytest.mark.parametrize(
    ("dark", "told"), [(0.045, False), (0.055, True), (0.58, True), (0.62, False)]
)
def test_a_block_is_a_quarter_as_dark_as_the_marks_to_three_times(dark, told):
    assert runs_together(drawn(dark), found()) == told


@pytest.mark.parametrize(("dark", "told"), [(0.007, False), (0.009, True)])
def test_of_faint_marks_it_is_eight_thousandths_of_the_ground_at_least(dark, told):
    assert runs_together(drawn(dark, ink=0.02), found()) == told


@pytest.mark.parametrize(("free", "told"), [(0.1, True), (0.3, False)])
def test_numerals_leave_ground_between_them(free, told):
    """Every column of a gap but some is dark."""
    light = drawn()
    light[slice(*BLOCK), np.arange(COLS) % 40 < 40 * free] = GROUND
    assert runs_together(light, found()) == told


def test_marks_that_are_seen_within_lie_on_a_darker_ground():
    """The body of a rule on a bright bench: its marks begin at its border."""
    assert not runs_together(drawn(block=(60, 230)), found(rows=(140, 230)))


def test_a_bar_apart_from_the_marks_is_none():
    assert runs_together(drawn(block=(60, 140)), found())
    assert not runs_together(drawn(block=(40, 120)), found())


@pytest.mark.parametrize(("first", "told"), [(119, True), (128, False), (0, False)])
def test_it_is_two_strips_long_and_clean_ground_follows(first, told):
    """A base line is thinner; what goes on to the border of the picture may be another ground."""
    assert runs_together(drawn(block=(first, 150)), found()) == told


def test_a_bar_of_less_than_two_strips_is_none():
    assert not runs_together(drawn(block=(119, 150)), found(strip=20))


def test_specks_taken_for_marks_and_marks_that_are_missing_hide_no_block():
    plain = found()
    specks = {name: np.append(getattr(plain, name), getattr(plain, name)[:3])
              for name in ("index", "across", "along", "sd")}  # fmt: skip
    specks["along"][-3:] = 105 - (ROWS - 1) / 2
    assert runs_together(drawn(), found(**specks))
    light = drawn()
    light[slice(*MARKS), : COLS // 3] = GROUND
    assert runs_together(light, plain)


def test_light_that_falls_off_evenly_does_so_through_a_faint_block():
    fall = (1 - 0.5 * np.linspace(0, 1, ROWS)[:, None]).astype(np.float32)
    assert runs_together(drawn(0.1) * fall, found())


@pytest.mark.parametrize("over", [0.1, 0.3])
def test_light_that_falls_off_is_no_block_and_hides_none(over):
    fall = (1 - over * np.linspace(0, 1, ROWS)[:, None] ** 2).astype(np.float32)
    assert not runs_together(drawn(0.0) * fall, found())
    assert runs_together(drawn() * fall, found())
    soft = 1 - 0.1 * np.exp(-0.5 * ((np.arange(ROWS) - 105) / 35.0) ** 2)
    assert not runs_together((drawn(0.0) * soft[:, None]).astype(np.float32), found())


def test_dust_in_a_few_gaps_makes_no_block():
    light = drawn(0.0)
    light[slice(*BLOCK), :120] *= 0.8
    assert not runs_together(light, found())


def test_marks_need_clean_ground_between_them():
    assert runs_together(drawn(), found(blur_px=6.5))
    assert not runs_together(drawn(), found(blur_px=7.0))
    assert not runs_together(drawn(), found(line_px=14.0, blur_px=2.1))


def test_marks_whose_shape_could_not_be_told_are_looked_at_all_the_same():
    """Its fit stops at a blur of 0.4 of their spacing."""
    assert runs_together(drawn(), found(blur_px=12.0))


def test_marks_wider_than_what_is_between_are_the_ground():
    """Told from their gaps by the other sign: the narrow part is the marks."""
    moved = found().across + PITCH / 2
    assert runs_together(drawn(), found(sign=1, line_px=27.0, across=moved))


def test_three_gaps_are_the_fewest_and_a_turned_picture_is_read_along_its_lines():
    few = found()
    kept = few.index < 4
    parts = {name: getattr(few, name)[kept] for name in ("index", "across", "along", "sd")}
    assert runs_together(drawn(), found(**parts))
    kept = few.index < 3
    parts = {name: getattr(few, name)[kept] for name in ("index", "across", "along", "sd")}
    assert not runs_together(drawn(), found(**parts))
    turned = np.ascontiguousarray(np.rot90(drawn(), -1))
    assert runs_together(turned, found(angle_deg=90.0))

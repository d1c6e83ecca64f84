"""Every value of ASTM E140 table 1, and laws of carbon and quench, against copies of them.

All rows were read at phase2plus.com (hardness conversion charts): HV, and HBW of the 10 mm carbide
ball at 3000 kgf. Two more copies agree: mikipulley.co.jp (technical data, table 20) from 68 to 44
HRC, HBW from 58 HRC on, and encoremetals.com in HV (68 to 44 HRC, then every second row).
The standard itself was not seen. Brinell in
parentheses, which the standard prints beyond normal use, is held to be absent.
"""

from math import exp

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import to_hrc, vickers_of
from edgetest.steel.diffusion import DIFFUSIVITIES, diffusivity
from edgetest.steel.retained_austenite import (
    MANGANESE_PCT,
    QUENCHED_TO_C,
    martensite_start_c,
    retained_share,
)

# fmt: off
# From 68 HRC down to 20, as the copies print them.
HV = """
940 900 865 832 800 772 746 720 697 674 653 633 613 595 577 560 544 528 513 498 484 471 458 446
434 423 412 402 392 382 372 363 354 345 336 327 318 310 302 294 286 279 272 266 260 254 248 243
238
"""
# From 59 HRC down to 20.
HBW = """
634 615 595 577 560 543 525 512 496 481 469 455 443 432 421 409 400 390 381 371 362 353 344 336
327 319 311 301 294 286 279 271 264 258 253 247 243 237 231 226
"""
# fmt: on
IN_PARENTHESES = (739, 722, 705, 688, 670, 654)  # 65 to 60 HRC
ROWS = [("HV", 68 - k, float(v)) for k, v in enumerate(HV.split())]
ROWS += [("HB", 59 - k, float(v)) for k, v in enumerate(HBW.split())]


@pytest.mark.parametrize(("scale", "hrc", "reading"), ROWS)
def test_every_row_of_the_conversion(scale, hrc, reading):
    assert to_hrc(reading, scale) == hrc
    if scale == "HV":
        assert float(vickers_of(hrc)) == reading


def test_both_columns_end_where_the_copies_end():
    assert [hrc for scale, hrc, _ in ROWS if scale == "HV"][-1] == 20
    assert [hrc for scale, hrc, _ in ROWS if scale == "HB"][-1] == 20
    for scale in ("HV", "HB"):
        readings = [value for which, _, value in ROWS if which == scale]
        for beyond in (min(readings) - 1, max(readings) + 1):
            with pytest.raises(UnusableInput, match="outside the conversion table"):
                to_hrc(beyond, scale)


@pytest.mark.parametrize("reading", IN_PARENTHESES)
def test_brinell_in_parentheses_is_refused(reading):
    with pytest.raises(UnusableInput, match="outside the conversion table"):
        to_hrc(float(reading), "HB")


# ---- diffusivities and the start of martensite --------------------------------------------

# Read again: the first in FOSSEE/Scilab-TBC-Uploads, 539/CH5/EX5.6 (design example 5.1); the
# other as a function D(T, xC) in µm²/s of public Python code that names Agren.
READ_AGAIN = {"callister_later", "agren"}
NOT_READ_AGAIN = {"callister_early", "steelmatter", "wells_mehl", "tibbetts"}


def test_every_diffusivity_was_read_again_or_stands_as_not():
    assert set(DIFFUSIVITIES) == READ_AGAIN | NOT_READ_AGAIN
    for name in NOT_READ_AGAIN - {"steelmatter"}:
        assert "memory" in DIFFUSIVITIES[name].source


@pytest.mark.parametrize("celsius", [750.0, 900.0, 1050.0])
@pytest.mark.parametrize("carbon_pct", [0.0, 0.4, 1.2])
def test_diffusivities_as_their_copies_write_them(celsius, carbon_pct):
    kelvin = celsius + 273.15
    callister_m2_s = 2.3e-5 * exp(-148000 / (8.314462618 * kelvin))
    assert diffusivity("callister_later").mm2_h(celsius, carbon_pct) == pytest.approx(
        callister_m2_s * 1e6 * 3600, rel=1e-9
    )
    carbon, iron = carbon_pct / 12.011, (100 - carbon_pct) / 55.845
    atom_share = carbon / (carbon + iron)
    y = atom_share / (1 - atom_share)
    slope = (1 / kelvin - 2.221e-4) * (17767 - 26436 * y)
    agren_um2_s = 4.53e5 * (1 + 8339.9 / kelvin * y * (1 - y)) * exp(-slope)
    assert float(diffusivity("agren").mm2_h(celsius, carbon_pct)) == pytest.approx(
        agren_um2_s * 1e-6 * 3600, rel=1e-9
    )


@pytest.mark.parametrize("carbon_pct", [0.1, 0.6, 1.4])
def test_martensite_as_its_copies_write_it(carbon_pct):
    # Barbier in kelvin, as public code for a thermodynamics program prints it; Koistinen and
    # Marburger's 0.011 as public code beside Andrews's line does.
    start_k = 818 - 601.2 * (1 - exp(-0.868 * carbon_pct)) - 34.4 * MANGANESE_PCT
    assert float(martensite_start_c(carbon_pct)) == pytest.approx(start_k - 273)
    kept = exp(-0.011 * max(start_k - 273 - QUENCHED_TO_C, 0.0))
    assert float(retained_share(carbon_pct)) == pytest.approx(kept)

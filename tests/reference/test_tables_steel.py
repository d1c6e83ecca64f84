"""Every value of ASTM E140 table 1 that the program holds, against copies of the table.

HRC and HV were read in three copies that agree in every row: phase2plus.com (hardness conversion
charts), mikipulley.co.jp (technical data, table 20) and encoremetals.com (every row from 43 HRC
up, every second one below). HBW (10 mm carbide ball, 3000 kgf) was read at phase2plus.com; the
rows of 44 to 58 HRC also at mikipulley.co.jp. The standard itself was not seen. Brinell in
parentheses, which the standard prints beyond normal use, is held to be absent.
"""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import to_hrc, vickers_of

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

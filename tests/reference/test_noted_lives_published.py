"""Noted lives that `edgetest fit` reads from a log, against published answers.

Sources: W. Nelson, Applied Life Data Analysis (1982) p. 409, turbine wheels looked at once each,
answers as the SAS/QC guide prints them (recomputed in R, survival); ammonium in rain below four
limits of detection, the data set nh4 of lifelines 0.30, answers computed in R (survival) and with
lifelines; crack growth in 21 specimens of "Alloy A" (Hudak and others 1978; Lu and Meeker 1993):
million cycles to 1.6 inches, nine stopped at 0.12, crossings and answers computed in R (survival).
"""

import numpy as np
from numpy.testing import assert_allclose

from tests.reference.test_life_published import (
    HUNDRED_HOURS,
    WHEELS_CRACKED,
    WHEELS_WHOLE,
    data_set,
)


def fitted(answer, folder, lives):
    """What `edgetest fit` says of all lives of a notebook together."""
    rows = [f"P{number},{life}" for number, life in enumerate(lives)]
    log = folder / "notebook.csv"
    log.write_text("\n".join(["blade,life", *rows]), encoding="utf-8")
    together = answer("fit", log)[0]["together"]
    (group,) = together["groups"]
    return group["life"], together["scatter"]["value"], together["log_likelihood"]


def test_turbine_wheels_that_were_looked_at_once(answer, tmp_path):
    looked = list(zip(HUNDRED_HOURS, WHEELS_CRACKED, WHEELS_WHOLE, strict=True))
    lives = [f"<{at}" for at, cracked, _ in looked for _ in range(cracked)]
    lives += [f">{at}" for at, _, whole in looked for _ in range(whole)]
    life, scatter, log_likelihood = fitted(answer, tmp_path, lives)
    assert_allclose([np.log(life["cuts"]), scatter], [3.69991, 0.71989], atol=1e-5)
    assert_allclose(log_likelihood, -190.73155, atol=1e-5)


def test_readings_below_four_limits_of_detection(answer, tmp_path):
    # In thousandths, so that the column holds numbers such as 6 and <10.
    lives = [
        ("<" if row["Censored"].upper() == "TRUE" else "") + f"{1000 * float(row[NH4]):g}"
        for row in data_set("nh4")
    ]
    assert sum(life[0] == "<" for life in lives) == 46
    life, scatter, log_likelihood = fitted(answer, tmp_path, lives)
    assert_allclose([np.log(life["cuts"] / 1000), scatter], [-4.71450, 1.25335], atol=8e-6)
    # 56 densities are per thousandth.
    assert_allclose(log_likelihood + 56 * np.log(1000), 88.1644, atol=5e-5)


NH4 = "NH4.mg.per.L"
CRACKS = [876, 1000, 1011, 1029, 1032, 1054, 1058, 1085, 1131, 1155, 1170, 1176]


def test_cracks_of_which_nine_were_stopped(answer, tmp_path):
    life, scatter, _ = fitted(answer, tmp_path, [*CRACKS, *[">1200"] * 9])
    # Crossings are printed to four digits: their logs to 5e-5.
    assert_allclose([np.log(life["cuts"] / 1e4), scatter], [-2.14881, 0.13378], atol=1e-4)

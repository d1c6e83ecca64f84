"""The shop's memory, through the command: what is pooled, what is left out, what is published."""

import json

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_lives import ArmLife, StudyLives
from tests.stats.paule_mandel import iterated
from tests.stats.test_linked_studies import KACKER, KACKER_VARIANCE
from tests.study.wear.surfaces import worked_out_once


def write_study(folder, gain, seed, *, blades=3, control=True, limit=12, invented=False, day=10):
    """Widths as a wedge wears, typed by hand: `high` lasts `gain` times as long as `low`."""
    rng = np.random.default_rng(seed)
    folder.mkdir(parents=True)
    ids = [f"{kind}{n}" for n in range(1, blades + 1) for kind in "LH"] + ["C1"] * control
    lines = ['title = "Two tempers"', 'protocol = "sisal_rope"', 'edge_width_from = "log"',
             f"limit = {limit}", f"invented = {str(invented).lower()}"]  # fmt: skip
    lines += ['control = "C1"'] * control
    for name, temperature in (("low", 260), ("high", 200)):
        steps = f'[{{kind = "temper", temperature_c = {temperature}, time_min = 60}}]'
        lines += ["[[heat_treatments]]", f'id = "{name}"', f"steps = {steps}"]
    for blade in ids:
        treatment = {"L": "low", "H": "high"}.get(blade[0])
        lines += ["[[blades]]", f'id = "{blade}"', 'steel = "plough disc"']
        lines += [f'heat_treatment = "{treatment}"'] if treatment else []
    (folder / "study.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    rows = ["date,blade,cuts,station_mm,edge_width_um,block"]
    for roll in range(1, blades + 1):
        for blade in [f"L{roll}", f"H{roll}"] + ["C1"] * control:
            life = {"L": 150.0, "H": 150.0 * gain, "C": 160.0}[blade[0]]
            life *= np.exp(0.08 * rng.normal()) if blade != "C1" else 1.0
            for cuts in (0, 50, 100, 200, 300):
                for station in (20, 40, 60):
                    width = (2.5**2 + (12**2 - 2.5**2) * cuts / life) ** 0.5
                    width *= np.exp(0.03 * rng.normal())
                    rows.append(f"2024-05-{day},{blade},{cuts},{station},{width:.3f},roll {roll}")
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """Three studies of one pair, one of invented data, one folder that is broken."""
    root = tmp_path_factory.mktemp("shop")
    for number, gain in enumerate((1.5, 1.4, 1.6)):
        write_study(root / f"tempers_{number}", gain, number, day=10 + number)
    write_study(root / "demo", 3.0, 9, invented=True)
    (root / "broken").mkdir()
    (root / "broken" / "study.toml").write_text("title = ", encoding="utf-8")
    return root


@pytest.fixture(scope="module", autouse=True)
def _once():
    """The same studies are asked about again and again."""
    with pytest.MonkeyPatch.context() as patch:
        worked_out_once(patch)
        yield


@pytest.fixture
def ask(run):
    """The book's document of a folder."""

    def document(folder, *options):
        code, out, err = run("shop-book", str(folder), *options, "--json")
        assert code == 0, err
        return json.loads(out)

    return document


def test_studies_are_pooled_and_what_is_no_study_is_left_out(shop, ask):
    found = ask(shop)
    (pool,) = found["pools"]
    assert pool["studies"] == ["tempers_0", "tempers_1", "tempers_2"]
    assert pool["anchor"] == "control blade C1"
    (pair,) = pool["pairs"]
    assert "200 °C" in pair["arm"]
    assert "260 °C" in pair["against"]
    assert pair["ratio"]["low"] < 1.5 < pair["ratio"]["high"]
    assert 1.3 < pair["ratio"]["value"] < 1.7
    assert sum(pair["shares"].values()) == pytest.approx(1)
    assert "invented" in found["left_out"]["demo"]
    assert set(found["left_out"]) == {"demo", "broken"}


def test_one_study_teaches_nothing_of_the_next(shop, ask):
    found = ask(shop, "--words", "tempers_1")
    (pool,) = found["pools"]
    assert [one["code"] for one in pool["doubts"]] == ["shop_one_study"]
    for arm in (*pool["arms"], *pool["pairs"]):
        assert (arm["ratio"]["low"], arm["ratio"]["high"]) == (0, None)
        assert (arm["next_low"], arm["next_high"]) == (0, None)


def test_invented_studies_only_when_asked_for(shop, ask):
    assert len(ask(shop, "--invented")["pools"][0]["studies"]) == 4


def test_text_names_what_it_is_held_against(shop, run):
    code, out, _ = run("shop-book", str(shop))
    assert code == 0
    assert "Life, times that of control blade C1" in out
    assert "plough disc: temper 200 °C, 60 min" in out
    assert "in a next study" in out


def test_words_find_studies_by_steel_treatment_and_month(shop, ask):
    assert [each["name"] for each in ask(shop, "--words", "plough 260 2024-05")["found"]] == [
        "demo", "tempers_0", "tempers_1", "tempers_2"
    ]  # fmt: skip
    assert ask(shop, "--words", "harrow")["found"] == []


def noted(values, variances, folder, ask):
    """The pool that the command makes of noted ratios, one a laboratory."""
    rows = ["study,arm,against,ratio,low,high"]
    for number, (value, variance) in enumerate(zip(values, variances, strict=True)):
        ends = np.exp(value + 1.959963984540054 * variance**0.5 * np.array([0, -1, 1]))
        rows.append(f"lab {number},new,old," + ",".join(f"{each:.15g}" for each in ends))
    (folder / "results.csv").write_text("\n".join(rows), encoding="utf-8")
    (pool,) = ask(folder, "--also", str(folder / "results.csv"))["pools"]
    return pool


@pytest.mark.parametrize("labs", [2, 3, 4, 5])
def test_few_noted_results_give_what_statsmodels_gives(labs, tmp_path, ask):
    """Paule and Mandel's variance, interval of Hartung and Knapp, never below their factor of 1."""
    values, variances = KACKER[-labs:] - 62, KACKER_VARIANCE[-labs:]
    theirs = iterated(values, variances, use_t=False)
    ratio = noted(values, variances, tmp_path, ask)["arms"][0]["ratio"]
    error = theirs.sd_eff_w_re * max(1.0, theirs.scale_hksj_re**0.5)
    half = student.ppf(0.975, labs - 1) * error
    told = [np.log(ratio[end]) for end in ("low", "value", "high")]
    assert told == pytest.approx(
        list(theirs.mean_effect_re + half * np.array([-1, 0, 1])), abs=1e-6
    )


def test_noted_results_give_the_published_consensus(tmp_path, ask):
    """R. Kacker, Metrologia 41 (2004) 132, by Paule and Mandel, read as ratios about 62.

    The standard error is that of R's metafor (`rma`, method "PM"), as statsmodels' tests hold it
    to 15 digits; with the Paule-Mandel variance the Hartung-Knapp factor is 1, and the interval
    goes by t of eight degrees of freedom.
    """
    pool = noted(KACKER - 62, KACKER_VARIANCE, tmp_path, ask)
    ratio = pool["arms"][0]["ratio"]
    assert np.log(ratio["value"]) + 62 == pytest.approx(62.4076199113, abs=1e-7)
    half = student.ppf(0.975, 8) * 0.338030602684471
    for end, side in (("low", -1), ("high", 1)):
        assert np.log(ratio[end]) + 62 == pytest.approx(62.4076199113 + side * half, abs=1e-6)
    weight = 1 / (KACKER_VARIANCE + 0.705395309)
    shares = list(pool["arms"][0]["shares"].values())
    assert shares == pytest.approx(list(weight / weight.sum()), abs=1e-7)
    assert pool["between_sd"]["value"] ** 2 == pytest.approx(0.705395309, abs=1e-7)


def test_a_folder_that_is_not_there_is_one_line(tmp_path, run):
    code, _, err = run("shop-book", str(tmp_path / "nowhere"))
    assert code == 2
    assert "check its name" in err
    assert len(err.strip().splitlines()) == 1


def lives(name, effects, **more):
    """A study of lives as they stand, two blades an arm."""
    runs = [ArmLife(arm, f"{arm}{n}", "", 5 + effect + step, 0.02)
            for arm, effect in effects.items() for n, step in enumerate((-0.05, 0.05))]  # fmt: skip
    return StudyLives(name, protocol="rope", reading="edge_width_um", runs=tuple(runs), **more)


def test_studies_that_share_nothing_are_pools_of_their_own():
    book = shop_book([lives("one", {"a": 0, "b": 0.3}), lives("two", {"c": 0, "d": 0.2})])
    assert [pool.studies for pool in book.pools] == [("one",), ("two",)]


def test_an_arm_with_a_bound_is_left_out_of_its_study():
    first = lives("one", {"a": 0, "b": 0.3, "c": 0.1}, bounds=("b",))
    book = shop_book([first, lives("two", {"a": 0, "b": 0.3})])
    pool = next(each for each in book.pools if "one" in each.studies)
    assert {arm.arm for arm in pool.arms} | {pool.anchor} == {"a", "b", "c"}
    assert {arm.arm: arm.studies for arm in pool.arms}["b"] == ("two",)
    assert any(one.code == "shop_bounds_left_out" for one in pool.doubts)


def test_a_comparison_that_is_settled_is_not_worth_the_next_rope():
    settled = [lives(f"s{n}", {"a": 0, "b": 1.0, "c": 0.02 * n}) for n in range(5)]
    (pool,) = shop_book(settled).pools
    assert {(each.first, each.second) for each in pool.next_studies} <= {("a", "c"), ("c", "a")}
    assert pool.next_studies
    for each in pool.next_studies:
        assert each.half_width_then < each.half_width


@pytest.mark.parametrize("day", ["2019", "2019-07", "spring 2019", ""])
def test_a_date_as_loose_as_a_maker_types_it_stops_nothing(day):
    studies = [lives("one", {"a": 0, "b": 0.3}, date=day)]
    studies += [
        lives(f"s{year}", {"a": 0, "b": 0.3}, date=f"{year}-03-01") for year in range(2020, 2023)
    ]
    (pool,) = shop_book(studies).pools
    assert (pool.drifts.medium is not None) == day.startswith("2019")


def test_a_comparison_says_whose_spread_its_chances_rest_on(shop, run, answer):
    """Of no earlier studies the program's own, of two others too few, of the shop the shop's."""
    study = shop / "tempers_0"
    plain = answer("compare", study)
    assert plain["chances"]["true_differences"]["studies"] == 0
    assert "an assumption of this program, not measured in your shop" in plain["summary"]
    few = answer("compare", study, "--history", shop)
    assert few["chances"]["true_differences"] == plain["chances"]["true_differences"]
    assert "2 earlier studies are too few" in few["summary"]


@pytest.fixture(scope="module")
def larger_shop(tmp_path_factory):
    """Four studies of the same two tempers."""
    root = tmp_path_factory.mktemp("larger")
    for number, gain in enumerate((1.5, 1.4, 1.6, 1.45)):
        write_study(root / f"tempers_{number}", gain, number)
    return root


def test_three_earlier_studies_feed_chances_and_plan_and_are_named(larger_shop, answer, run):
    study = larger_shop / "tempers_0"
    told = answer("compare", study, "--history", larger_shop)["chances"]
    assert told["true_differences"]["studies"] == 3
    assert told["true_differences"]["low"] < 0.4 < told["true_differences"]["high"]
    assert "3 earlier studies" in told["prior"]
    plan = answer("plan", study, "--history", larger_shop)
    assert plan["history"]["studies"] == plan["history"]["compared"] == 3
    assert not plan["sd_assumed"]
    shown = [each["value"] for each in plan["shop"]["shown"]]
    assert shown == sorted(shown)
    _, out, _ = run("plan", str(study), "--history", str(larger_shop))
    assert "comes from 3 earlier studies of your shop" in out
    assert "Of two heat treatments as your shop compares them" in out


def test_a_folder_without_a_study_like_this_one_is_refused(larger_shop, tmp_path, run):
    write_study(tmp_path / "other" / "demo", 1.5, 4, invented=True)
    code, _, err = run("compare", str(larger_shop / "tempers_0"), "--history",
                       str(tmp_path / "other"))  # fmt: skip
    assert code == 2
    assert "no other study here compares heat treatments by this protocol" in err


@pytest.mark.slow
def test_the_chance_to_settle_comes_true_for_one_more_study():
    """Two arms alike in scatter; said of the book of three, then asked of the book of four."""
    rng = np.random.default_rng(11)
    said, settled = [], []
    for _ in range(150):
        gain = 0.25 * abs(rng.normal()) * rng.normal()
        made = []
        for n in range(4):
            truth = {"a": 0.0, "b": gain + 0.1 * rng.normal()}
            runs = [ArmLife(arm, f"{arm}{k}", "", 5 + truth[arm] + 0.1 * rng.normal(), 0.02)
                    for arm in truth for k in range(3)]  # fmt: skip
            made.append(StudyLives(f"s{n}", protocol="rope", reading="w", runs=tuple(runs)))
        (before,), (after,) = (shop_book(made[:n]).pools for n in (3, 4))
        if before.next_studies:
            said.append(before.next_studies[0].chance_to_settle)
            settled.append(after.arms[0].ratio.low > 1 or after.arms[0].ratio.high < 1)
    assert len(said) > 60
    assert np.mean(said) == pytest.approx(np.mean(settled), abs=0.12)
    worth = np.array(said) > np.median(said)
    assert np.mean(np.array(settled)[worth]) > np.mean(np.array(settled)[~worth])

"""Is what can hardly be meant asked about, and what is meant left in peace?"""

import pytest

from edgetest.store.places import shipped
from edgetest.study.asked_about import asked_about
from edgetest.study.sources import open_source


def asked_of(tmp_path, rows, heading="blade,block,cuts,edge_width_um"):
    path = tmp_path / "log.csv"
    path.write_text("\n".join((heading, *rows)) + "\n", encoding="utf-8")
    return [str(one) for one in asked_about(open_source(path))]


def two_labels(one, other):
    return [f"K1,{one},{cuts},{1 + cuts}" for cuts in (0, 1, 2)] + [f"K1,{other},3,4"]


@pytest.mark.parametrize(
    ("usual", "rare"),
    [
        ("roll 1", "rol 1"),
        ("roll 1", "rolll 1"),
        ("roll 1", "rlol 1"),
        ("roll 1", "roll-1"),
        ("roll 1", "roll1"),
        ("roll 1", "roll l"),
        ("roll 10", "roll 1O"),
        ("spring", "sprint"),
    ],
)
def test_a_slip_in_a_label_is_asked_about_at_its_row(usual, rare, tmp_path):
    told = [one for one in asked_of(tmp_path, two_labels(usual, rare)) if "nearly" in one]
    assert len(told) == 1
    assert told[0].startswith(f'log.csv, row 5, block: "{rare}" is nearly "{usual}"')


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("roll 1", "roll 2"),
        ("roll 1", "roll 11"),
        ("board a", "board b"),
        ("A", "B"),
        ("ash", "oak"),
        ("H1", "S1"),
        ("", "a"),
    ],
)
def test_labels_that_are_two_are_not(one, other, tmp_path):
    assert [each for each in asked_of(tmp_path, two_labels(one, other)) if "nearly" in each] == []


@pytest.mark.parametrize(("width", "asked"), [("0.0031", 1), ("0.31", 0), ("150", 0), ("900", 1)])
def test_an_unusual_width_is_asked_about(width, asked, tmp_path):
    told = asked_of(tmp_path, [f"K1,a,0,{width}"])
    assert sum("unusual" in one and "edge_width_um" in one for one in told) == asked


@pytest.mark.parametrize(
    "run", ["billhook_temper_study", "camp_hatchet_study", "plough_disc_study"]
)
def test_nothing_is_asked_of_the_sample_runs(run):
    assert asked_about(open_source(shipped("sample_runs") / run)) == ()


@pytest.mark.parametrize(
    ("step", "asked"),
    [
        ('kind = "temper", temperature_c = 200, time_min = 1', "temper for 1 min"),
        ('kind = "carburise", temperature_c = 900, time_min = 4', "carburise for 4 min"),
        ('kind = "austenitise", temperature_c = 800, soak_min = 1', "austenitise for 1 min"),
        ('kind = "temper", temperature_c = 200, time_min = "1 h"', ""),
        ('kind = "temper", temperature_c = 200, time_min = "1 min"', ""),
        ('kind = "austenitise", temperature_c = 800, soak_min = 5', ""),
    ],
)
def test_a_step_of_so_few_minutes_that_hours_may_be_meant(tmp_path, run, step, asked):
    folder = tmp_path / "s"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "H1=hard")
    text = (folder / "study.toml").read_text("utf-8")
    head, mark, tail = text.partition('id = "hard"')
    assert mark
    (folder / "study.toml").write_text(f"{head}{mark}\nsteps = [{{ {step} }}]{tail}", "utf-8")
    _, out, _ = run("check", folder)
    assert ("unusually short" in out) == bool(asked)
    assert asked in out


def test_a_look_is_not_asked_for_its_block_for_it_is_no_run(tmp_path):
    path = tmp_path / "chops.csv"
    rows = ["H1,inspection,0,,,", "H1,single,1,a,12,", "H1,single,2,{},13,", "H1,shave,1,,,pass"]
    heading = "blade,kind,order,block,depth_mm,result"

    def asked(block):
        text = "\n".join((heading, *rows)).format(block) + "\n"
        path.write_text(text, encoding="utf-8")
        return [str(one) for one in asked_about(open_source(path)) if "no block" in str(one)]

    assert asked("a") == []
    (told,) = asked("")
    assert told.startswith("chops.csv, row 4, block: no block")

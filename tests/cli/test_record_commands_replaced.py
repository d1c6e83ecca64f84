"""Tempers and trials at the prompt: which row is replaced, and which is asked about."""

import shlex

from tests.cli.evidence_rows import rows_of


def test_a_temper_and_a_trial_are_replaced_on_word(run, discs):
    temper = ("enter", discs, "--evidence", "tempers", "piece=1", "coupon=A1")
    trial = ("enter", discs, "--evidence", "trials", "piece=1", "test=brass rod")
    run(*temper, "temperature_c=200", "time_min=60")
    run(*trial, "edge=rolled")
    assert run(*temper, "temperature_c=220", "hardness=58", "--replace")[0] == 0
    assert run(*trial, "edge=sound", "--replace")[0] == 0
    (now,) = rows_of(discs, "tempers")
    assert (now["temperature_c"], now["time_min"], now["hardness"]) == (220, 60, [58])
    assert [row["edge"] for row in rows_of(discs, "trials")] == ["sound"]


def test_of_several_tempers_the_one_of_this_temperature_is_replaced(run, discs):
    temper = ("enter", discs, "--evidence", "tempers", "piece=1", "coupon=A1")
    run(*temper, "temperature_c=200", "hardness=60")
    run(*temper, "temperature_c=250", "hardness=57")
    code, _, err = run(*temper, "time_min=90", "--replace")
    assert code != 0
    assert "which one is not sure; write temperature_c as it stands there" in err
    assert run(*temper, "temperature_c=250", "hardness=56", "--replace")[0] == 0
    assert [row["hardness"] for row in rows_of(discs, "tempers")] == [[60], [56]]


def test_a_temper_entered_twice_is_not_called_replaced_while_the_wrong_row_stays(run, discs):
    temper = ("enter", discs, "--evidence", "tempers", "piece=1", "coupon=A1", "temperature_c=175")
    run(*temper, "hardness=60-65")
    run(*temper, "hardness=55-60")
    code, _, err = run(*temper, "hardness=55-60", "--replace")
    assert (code, err.count("\n")) == (2, 1)
    assert "says so already, and another one otherwise" in err
    assert "with --remove in place of --replace" in err
    assert run(*temper, "hardness=60-65", "--remove")[0] == 0
    assert [row["hardness"] for row in rows_of(discs, "tempers")] == [["55-60"]]


def test_a_temper_typed_in_fahrenheit_is_found_by_its_degrees_and_read_again(run, discs):
    temper = ("enter", discs, "--evidence", "tempers", "piece=1", "coupon=A1")
    run("enter", discs, "--evidence", "pieces", "id=1", "coating=none", "lead=no")
    run("enter", discs, "--evidence", "heats", "piece=1", "coupon=A1", "hardness_below=60-65")
    run(*temper, "temperature_c=175", "hardness=60-65")
    run(*temper, "temperature_f=400", "hardness=45-50")
    _, out, _ = run("verdict", discs)
    line = out.split("edgetest enter ")[-1].splitlines()[0].replace("LOW-HIGH", "55-60")
    assert "temperature_c='400 °F' --replace hardness= hardness_below=55-60" in line
    assert run("enter", *shlex.split(line))[0] == 0
    now = rows_of(discs, "tempers")[1]
    assert (now["temperature_f"], now["hardness_below"], "hardness" in now) == (
        400,
        ["55-60"],
        False,
    )
    assert "Far softer" not in run("verdict", discs)[1]


def test_of_several_chops_the_one_of_this_day_is_replaced(run, discs):
    chop = ("enter", discs, "--evidence", "trials", "piece=1", "coupon=A1", "test=chop")
    for day in (14, 16):
        run(*chop, f"day=2026-11-{day}", "edge=rolled")
    code, _, err = run(*chop, "temper_c=230", "--replace")
    assert code != 0
    assert "which one is not sure; write test or day as it stands there" in err
    assert run(*chop, "day=2026-11-14", "temper_c=230", "--replace")[0] == 0
    assert [row.get("temper_c") for row in rows_of(discs, "trials")] == [230, None]


def test_of_several_chops_the_one_that_says_the_rest_alike_takes_the_temper(run, discs):
    chop = ("enter", discs, "--evidence", "trials", "piece=1", "coupon=A1", "test=chop")
    for edge in ("rolled", "sound"):
        run(*chop, f"edge={edge}")
    assert run(*chop, "edge=sound", "temper_c=230", "--replace")[0] == 0
    assert [row.get("temper_c") for row in rows_of(discs, "trials")] == [None, 230]


def test_a_cell_to_replace_takes_a_blank_one_typed_beside_it_into_its_row(run, tmp_path):
    (tmp_path / "study.toml").write_text(
        'title = "poles"\nprotocol = "billet_chop"\nblades = [{id = "B1"}]\n', "utf-8"
    )
    log = tmp_path / "chops.csv"
    log.write_text(
        "blade,kind,order,chops,diameter_mm,species,moisture_pct,mass_g,length_mm,board\n"
        "B1,billet,1,9,32,European ash,58,,,P1\nB1,billet,2,,32,European ash,58,,,P2\n",
        "utf-8",
    )
    piece = ("enter", tmp_path, "blade=B1", "kind=billet", "order=1", "board=P1")
    code, _, err = run(*piece, "mass_g=150", "length_mm=200", "--replace")
    assert code == 2  # nothing of it stands there to be replaced
    assert "leave --replace out to enter it" in err
    assert run(*piece, "moisture_pct=57", "mass_g=150", "length_mm=200", "--replace")[0] == 0
    first, second = log.read_text("utf-8").splitlines()[1:]
    assert first == "B1,billet,1,9,32,European ash,57,150,200,P1"
    assert second == "B1,billet,2,,32,European ash,58,,,P2"
    later = ("enter", tmp_path, "blade=B1", "kind=billet", "order=2", "board=P2")
    code, _, err = run(*later, "moisture_pct=57", "chops=9", "--replace")
    assert code == 2  # a piece that waits is entered, not corrected
    assert "leave --replace out to enter it" in err

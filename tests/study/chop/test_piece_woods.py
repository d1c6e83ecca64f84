"""Woods of a chop log through the command: told once, all at once, with the way out."""

import json

import pytest

from edgetest.cli import main

TOML = (
    'title = "Woods"\nprotocol = "billet_chop"\n{}[[blades]]\nid = "K1"\nangle_per_side_deg = 20\n'
)
OWN = (
    '[[woods]]\nname = "old blackthorn"\nkind = "hardwood"\ndensity_kg_m3 = 800\n'
    "moisture_pct = 12\n{}"
)
HEAD = "blade,kind,order,chops,width_mm,thickness_mm,nominal,species,moisture_pct,density_kg_m3\n"


@pytest.fixture
def chop(tmp_path, capsys):
    """Runs a command over rows of a log and sections of study.toml."""

    def run(*rows, toml="", command=("chop", "--json")):
        (tmp_path / "study.toml").write_text(TOML.format(toml), encoding="utf-8")
        (tmp_path / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
        with pytest.raises(SystemExit) as done:
            main([command[0], str(tmp_path), *command[1:]])
        out, err = capsys.readouterr()
        return done.value.code, out, err

    return run


def test_every_fault_of_a_log_is_told_at_once_and_each_wood_once(chop):
    rows = [
        "K1,billet,1,20,50,50,,ash,12,",
        "K1,billet,2,21,50,50,,ash,soaked,",
        "K1,billet,3,22,,,3x5x7,blackthorn,12,",
        "K1,billet,4,twenty,50,50,,hazel,12,",
        "K1,billet,5,20,50,50,,ash,12,",
    ]
    code, out, _ = chop(*rows, command=("check", "--json"))
    faults = json.loads(out)["faults"]
    assert code == 2
    assert {(fault["where"], fault["what"]) for fault in faults} == {
        ("chops.csv, rows 2, 6, species", '"ash" means several woods'),
        ("chops.csv, row 3, moisture_pct", '"soaked" is not known here'),
        ("chops.csv, row 4, species", 'no published density of "blackthorn" was found'),
        ("chops.csv, row 4, lumber", '"3x5x7" is no nominal lumber size'),
        ("chops.csv, row 5, chops", '"twenty" is not a number'),
    }
    mends = " ".join(fault["mend"] for fault in faults)
    assert 'write "blackthorn (hardwood)"' in mends
    assert "write a number, or one of green, air-dry, oven-dry" in mends
    code, _, err = chop(*rows)
    assert code == 2
    assert all(fault["what"] in err for fault in faults)  # not in waves: the same at once


def test_a_reckoned_hardness_and_a_word_for_moisture_are_told(chop):
    code, out, err = chop(
        "K1,billet,1,20,50,50,,hazel,green,", "K1,billet,2,21,50,50,,European ash,Air-dry,"
    )
    assert (code, err) == (0, "")
    found = json.loads(out)
    hazel, ash = found["pieces"]
    assert (hazel["hardness_reckoned"], ash["hardness_reckoned"]) == (True, False)
    assert (hazel["moisture_state"], ash["moisture_state"]) == ("green", "air-dry")
    assert "reckoned from the density" in hazel["wood_source"]
    codes = {each["code"] for each in found["doubts"]}
    assert {"wood_reckoned", "moisture_by_word"} <= codes
    text = chop("K1,billet,1,20,50,50,,hazel,green,", command=("chop",))[1]
    assert "No published side hardness of hazel was found" in text


@pytest.mark.parametrize("measured", ["", "hardness_n = 7000\n"])
def test_a_wood_of_the_makers_own_stands_in_the_study(chop, measured):
    code, out, err = chop(
        "K1,billet,1,20,50,50,,Old blackthorn,12,",
        "K1,billet,2,21,50,50,,Old blackthorn,12,",
        toml=OWN.format(measured),
        command=("chop", "--json", "--reference-wood", "old blackthorn"),
    )
    assert (code, err) == (0, "")
    found = json.loads(out)
    piece = found["pieces"][0]
    assert piece["wood"] == "old blackthorn"
    assert piece["hardness_reckoned"] is not bool(measured)
    if measured:
        assert piece["side_hardness_n"] == pytest.approx(7000)
    assert found["counts"]["reference_wood"].startswith("old blackthorn at 12 % moisture")


def test_a_wood_of_ones_own_that_cannot_be_is_refused_by_its_key(chop):
    code, _, err = chop(
        "K1,billet,1,20,50,50,,hazel,12,", toml=OWN.format("").replace("800", "0.8")
    )
    assert code == 2
    assert "study.toml, woods" in err
    assert "no wood's density" in err

"""Questions about rows made by hand: each side of every limit, and where each is asked."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.cells import Reading, parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.store.log_rows import LogRow
from edgetest.store.records import study_of
from edgetest.study.asked_about import asked_about, missing_photographs


def row(line, blade="A", cuts=0, width=5.0, **more):
    readings = {} if width is None else {"edge_width_um": parse_reading(str(width), "um")}
    return LogRow(line, blade, cuts, readings=readings, **more)


def source_of(rows=(), chops=None, study=None, protocol=None, faults=()):
    held = None if chops is None else SimpleNamespace(name="chops.csv", rows=chops)
    log = SimpleNamespace(name="log.csv", rows=rows, faults=faults)
    return SimpleNamespace(
        study=study, log=log, chops=held, protocol=protocol, chop_test=True
    )  # no limit is asked for


def asked(*rows, chops=None):
    return [str(one) for one in asked_about(source_of(rows, chops))]


def labels(*names, column="block"):
    return asked(*(row(n, **{column: name}) for n, name in enumerate(names, 2)))


@pytest.mark.parametrize(
    ("usual", "rare"),
    [
        ("spring", "spring2"), ("abc", "abd"), ("abcd", "abdc"), ("abc", "ab"),
        ("o", "0"), ("board", "boards"), ("left side", "left sides"),
    ],
)  # fmt: skip
def test_labels_within_one_slip_of_the_pen(usual, rare):
    told = labels(usual, usual, rare)
    expected = rare not in ("spring2", "ab")  # another number, and a word too short to tell
    assert len(told) == expected
    assert all(f'row 4, block: "{rare}" is nearly "{usual}" of 2 other rows' in one for one in told)


@pytest.mark.parametrize(
    ("one", "other"),
    [("abc", "ABC"), ("a b", "A  B"), ("abc", "abde"), ("abcd", "bacde"), ("oak 1", "oak 2"),
     ("ab", "ac"), ("abc", "xyz"), ("side a", "side b"), ("abcde", "abc")],
)  # fmt: skip
def test_labels_that_are_one_or_two_are_not_asked_about(one, other):
    assert labels(one, one, other) == []


def test_the_rarer_label_is_asked_about_at_its_first_row():
    told = labels("spring", "sprint", "sprint", "spring", "sprint")
    assert len(told) == 1
    assert 'row 2, block: "spring" is nearly "sprint" of 3 other rows' in told[0]


@pytest.mark.parametrize("column", ["batch", "operator", "day"])
def test_every_label_of_a_log_is_looked_at(column):
    assert len(labels("spring", "spring", "sprint", column=column)) == 1


def test_names_of_blades_are_asked_about_only_where_no_study_names_them(tmp_path):
    rows = [row(2, "spring"), row(3, "spring"), row(4, "sprint")]
    assert len(asked(*rows)) == 1
    study = study_of(
        {"title": "x", "protocol": "sisal_rope", "blades": [{"id": "spring"}]}, tmp_path
    )
    assert list(asked_about(source_of(rows, study=study))) == []


def test_more_labels_than_people_write_are_not_compared(monkeypatch):
    monkeypatch.setattr("edgetest.study.near_labels.MOST_LABELS", 3)
    assert len(labels("spring", "sprint", "elm")) == 1
    assert labels("spring", "sprint", "elm", "oak") == []
    assert labels("spring", "sprint", "", "elm") != []


def test_a_row_without_a_block_is_asked_about_once_a_blade():
    told = asked(row(2, block="r1"), row(3), row(4), row(5, "B"), row(6, "B", block="r2"))
    assert [one.split(": ")[0] for one in told] == [
        "log.csv, row 3, block",
        "log.csv, row 5, block",
    ]
    assert 'other rows of blade A say "r1"' in told[0]
    assert asked(row(2, block="r1"), row(3, width=None)) == []
    assert asked(row(2, width=None, block="r1"), row(3)) == []
    assert asked(row(2), row(3)) == []


@pytest.mark.parametrize(("width", "told"), [(0.05, 0), (0.049, 1), (200, 0), (201, 1)])
def test_a_width_is_asked_about_beyond_what_is_met(width, told):
    assert len(asked(row(2, width=width))) == told


@pytest.mark.parametrize(("place", "told"), [(0.0, 0), (1000.0, 0), (1001.0, 1)])
def test_a_station_is_asked_about_beyond_what_is_met(place, told):
    assert len(asked(row(2, station_mm=place))) == told


def test_a_bound_is_no_number_to_ask_about():
    assert asked(row(2, width="<0.01")) == []
    assert Reading(None, None, 0.01, "below").value is None


def test_no_more_than_twenty_of_one_kind_are_told():
    assert len(asked(*(row(n, width=900) for n in range(2, 30)))) == 20


def piece(line, kind="billet", **more):
    facts = {"width_mm": 50.0, "thickness_mm": 50.0, "result": "pass"}
    return ChopRow(line, "A", kind, **facts | more)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"width_mm": 10.0}, None),
        ({"width_mm": 9.9}, "9.9 is unusual: 10 to 350 mm is what is met"),
        ({"width_mm": 2.0}, "check the number and its unit (mm; 2 in are 50.8 mm, 2 cm are 20 mm)"),
        ({"width_mm": 0.5}, "(mm; 0.5 in are 12.7 mm)"),
        ({"width_mm": 0.3}, "(mm)"),  # 7.62 mm would be as unusual
        ({"width_mm": 601.0}, "(mm)"),
        ({"kind": "single", "width_mm": 9.9}, None),
        ({"kind": "single", "width_mm": 0.9}, "1 to 600 mm"),
        ({"largest_chip_mm": 51.0}, "largest_chip_mm: 51 is unusual"),
    ],
)
def test_a_piece_is_asked_about_beyond_what_is_chopped(more, told):
    found = asked(chops=[piece(2, **more)])
    assert len(found) == (told is not None)
    assert all(told in one for one in found)


@pytest.mark.parametrize(
    ("kind", "water", "told"),
    [("lumber", 5.0, 0), ("lumber", 4.9, 1), ("lumber", 30, 0), ("lumber", 30.1, 1),
     ("billet", 100, 0), ("billet", 101, 1), ("billet", "green", 0), ("billet", None, 0),
     ("single", 300.0, 0)],
)  # fmt: skip
def test_water_is_asked_about_beyond_what_its_kind_holds(kind, water, told):
    found = asked(chops=[piece(2, kind, moisture_pct=water)])
    assert len(found) == told
    assert all(f"is unusual for {kind}: 5 to" in one for one in found)


def looks(*rows):
    return asked(chops=[ChopRow(n, *told, **more) for n, (*told, more) in enumerate(rows, 2)])


A = ("A", "inspection")


def test_fewer_chips_than_before_are_asked_about():
    told = looks((*A, {"chips_count": 2}), (*A, {"rolls_count": 0}), (*A, {"chips_count": 1}))
    assert told == [
        "chops.csv, row 4, chips_count: 1 after 2 in row 2; count those on the whole edge, in all; "
        "after sharpening add a touch-up row"
    ]
    assert looks((*A, {"chips_count": 2}), (*A, {"chips_count": 2})) == []
    assert looks((*A, {"chips_count": 2}), ("B", "inspection", {"chips_count": 1})) == []
    fallen = [(*A, {"rolls_count": count}) for count in (3, 2, 1)]
    assert [one.split(";")[0][-19:] for one in looks(*fallen)] == [
        "t: 2 after 3 in row 2"[-19:], "t: 1 after 2 in row 3"[-19:],
    ]  # fmt: skip


def test_after_a_touch_up_an_edge_is_counted_anew():
    assert looks((*A, {"chips_count": 2}), ("A", "touch-up", {}), (*A, {"chips_count": 0})) == []
    other = looks((*A, {"chips_count": 2}), ("B", "touch-up", {}), (*A, {"chips_count": 0}))
    assert len(other) == 1


def test_a_look_that_is_set_aside_is_no_look():
    aside = {"chips_count": 5, "exclude": "slip"}
    assert looks((*A, aside), (*A, {"chips_count": 1})) == []
    assert looks((*A, {"chips_count": 1}), (*A, {"chips_count": 0, "exclude": "slip"})) == []


def study_asked(tmp_path, **tables):
    study = study_of(
        {"title": "x", "protocol": "sisal_rope", "blades": [{"id": "A"}], **tables}, tmp_path
    )
    return [str(one) for one in asked_about(source_of(study=study))]


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"spine_mm": 0.3}, None),
        ({"spine_mm": 0.25}, "study.toml, blades 2 (B), spine_mm: 0.25 is unusual: 0.3 to 20 mm"),
        ({"spine_mm": 20}, None),
        ({"spine_mm": 21}, "(mm)"),
        ({"mass_g": 0.7}, "1 to 20000 g"),
        ({"edge_length_mm": 8}, "8 in are 203.2 mm"),
    ],
)
def test_sizes_of_blades_are_asked_about(tmp_path, facts, told):
    found = study_asked(tmp_path, blades=[{"id": "A"}, {"id": "B", **facts}])
    assert len(found) == (told is not None)
    assert all(told in one for one in found)


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ({"kind": "temper", "temperature_c": 760}, None),
        ({"kind": "temper", "temperature_c": 761}, "761 is hotter than a temper goes (760 °C)"),
        ({"kind": "austenitise", "temperature_c": 1300}, None),
        ({"kind": "austenitise", "temperature_c": 1301}, "(1300 °C)"),
        ({"kind": "temper", "time_min": 15}, None),
        ({"kind": "temper", "time_min": 14}, "temper for 14 min is unusually short"),
        ({"kind": "carburise", "time_min": 29}, "carburise for 29 min"),
        ({"kind": "carburise", "time_min": 30}, None),
        ({"kind": "quench", "time_min": 1}, None),
        ({"kind": "austenitise", "soak_min": 2}, None),
        ({"kind": "austenitise", "soak_min": 1.9}, "soak_min"),
    ],
)
def test_heats_and_times_of_steps_are_asked_about(tmp_path, step, told):
    treatments = [{"id": "a"}, {"id": "b", "steps": [{"kind": "quench"}, step]}]
    found = study_asked(tmp_path, heat_treatments=treatments)
    assert len(found) == (told is not None)
    assert all(told in one for one in found)
    assert all("study.toml, heat_treatments 2 (b), steps 2" in one for one in found)


def missing(folder, *names, chops=()):
    source = SimpleNamespace(
        photos_folder=folder / "photos",
        log=SimpleNamespace(name="log.csv", rows=[row(n, photo=p) for n, p in enumerate(names, 2)]),
        chops=SimpleNamespace(name="chops.csv", rows=[ChopRow(2, "A", "billet", photo=p)
                                                      for p in chops]) if chops else None,
    )  # fmt: skip
    return [str(one) for one in missing_photographs(source)]


def test_a_photograph_that_is_not_there_is_looked_for(tmp_path):
    photos = tmp_path / "photos"
    (photos / "day").mkdir(parents=True)
    (photos / "day" / "IMG_1234.JPG").write_bytes(b"x")
    (photos / "there.png").write_bytes(b"x")
    (tmp_path / "beside.png").write_bytes(b"x")
    told = missing(
        tmp_path, "there.png", "img_1234.png", "img_1243.jpg", "beside.png", "zzz.png", ""
    )
    assert [one.split("; ")[1] for one in told] == [
        'did you mean "day/IMG_1234.JPG"?',
        'did you mean "day/IMG_1234.JPG"?',
        "it lies beside the log: move it into photos",
        "put it into photos, or mend its name",
    ]
    assert told[0].startswith('log.csv, row 3, photo: the photograph "img_1234.png" is not in')
    assert missing(tmp_path, chops=["none.png"])[0].startswith("chops.csv, row 2, photo")


def test_without_a_folder_each_photograph_is_missing_up_to_twenty(tmp_path):
    told = missing(tmp_path, *(f"{n}.png" for n in range(30)))
    assert len(told) == 20
    assert all("put it into photos" in one for one in told)


@pytest.mark.parametrize(("of", "told"), [("chops", True), ("log", False), (None, False)])
def test_cuts_in_a_study_of_chops_are_asked_about(of, told):
    protocol = SimpleNamespace(log=of) if of else None
    source = source_of([row(2), row(3, cuts=9), row(4, cuts=9, width=None)], protocol=protocol)
    found = [str(one) for one in asked_about(source)]
    assert len(found) == told
    for one in found:
        assert "log.csv: it holds 2 rows of cuts, and the protocol asks for chops" in one
        assert "study of their own with a protocol of cuts" in one


def test_labels_of_blades_are_asked_about_with_those_of_the_log():
    blades = [{"id": "A", "steel": "plough disc"}, {"id": "B", "steel": "plough dsic"}]
    pieces = [{"id": f"P{n}", "lot": lot} for n, lot in enumerate(("harrow", "harow"))]
    facts = {"title": "T", "protocol": "sisal_rope", "blades": blades}
    study = study_of({**facts, "evidence": {"pieces": pieces}}, Path())
    told = [str(one) for one in asked_about(source_of([], None, study))]
    assert sum('"plough dsic" is nearly "plough disc"' in one for one in told) == 1
    assert sum('"harow" is nearly "harrow"' in one for one in told) == 1


def of_step(**step):
    steps = [{"kind": "temper", "temperature_c": 200, **step}]
    treatments = [{"id": "h", "steps": steps}]
    facts = {"title": "T", "protocol": "sisal_rope", "heat_treatments": treatments}
    return study_of({**facts, "blades": [{"id": "A"}]}, Path())


@pytest.mark.parametrize(
    ("held", "asked"), [("168 h", False), ("169 h", True), (10081, True), (10080, False)]
)
def test_a_step_that_is_held_for_over_a_week_is_asked_about(held, asked):
    told = [str(one) for one in asked_about(source_of([], None, of_step(time_min=held)))]
    assert any(f"steps 1, time_min: {held} is longer" in one for one in told) is asked


def test_a_time_that_no_number_holds_in_minutes_is_refused():
    with pytest.raises(UnusableInput, match="too large to be a number"):
        of_step(time_min="1e308 h")


def test_a_cell_that_cannot_be_read_is_not_asked_about_as_forgotten():
    rows = [row(n, cuts=cuts) for n, cuts in enumerate([0, 0, 10, 10, 20, 20, 30, 30, 40], 2)]
    assert any("if it was forgotten" in str(one) for one in asked_about(source_of(rows)))
    told = asked_about(source_of(rows, faults=("a cell",)))
    assert not any("if it was forgotten" in str(one) for one in told)

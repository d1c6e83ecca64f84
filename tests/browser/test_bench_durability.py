"""The plug is pulled at random moments of a session: what was acknowledged is on disk."""

import csv
import json
import random
import re
import subprocess
import sys
import time
from contextlib import suppress

import pytest
from playwright.sync_api import TimeoutError, expect

from edgetest.store.history import read_history
from edgetest.store.logs import read_log
from edgetest.study.bench.session_file import SESSION_FILE, read_session
from edgetest.study.sources import open_source
from tests.browser.conftest import PATIENCE_MS, Server, go, settle
from tests.browser.studies import FORCE, PAPER, bench_study

pytestmark = pytest.mark.browser


PATIENCE_S = 60.0  # for a step that nothing disturbs, however busy the machine is


def one_step(page, value, within_s=PATIENCE_S):
    """Do the next thing once, and return what the page then acknowledged.

    Returns
    -------
    tuple
        ("cuts", blade, count), ("force", blade, stage, value, one never used before) or
        ("paper", blade, stage), as the screen shows it.
    """
    within = 1000 * within_s
    page.wait_for_selector(  # a field of the stage before may still stand there
        "[data-testid=stApp][data-test-script-state=notRunning]", timeout=within
    )
    before = heading(page, within)
    blade = before.split()[1].rstrip(",")
    if "cut to" in before:
        page.get_by_role("button", name="+1", exact=True).click(timeout=within)
        changed(page, before, within)
        after = heading(page, within)
        stage = int(re.search(r"(?:to|at) (\d+)", before)[1])
        left = re.search(r"cut to \d+: (\d+) to go", after)
        count = stage - int(left[1]) if left and f"Blade {blade}," in after else stage
        return "cuts", blade, count
    stage = int((re.search(r"at (\d+) cuts", before) or [0, 0])[1])
    field = page.get_by_label("Thread severing force, check").first
    passed = page.get_by_role("button", name="Pass", exact=True)
    field.or_(passed).first.wait_for(timeout=within)  # the heading may stand before either
    if field.count():
        field.fill(value, timeout=within)
        field.press("Enter", timeout=within)
        changed(page, before, within)
        return "force", blade, stage, value
    passed.click(timeout=within)
    changed(page, before, within)
    return "paper", blade, stage


def heading(page, within):
    return page.get_by_role("heading", level=1).inner_text(timeout=within)


def changed(page, before, within):
    page.wait_for_function(
        "before => document.querySelector('h1') && "
        "document.querySelector('h1').innerText !== before",
        arg=before,
        timeout=within,
    )


def whole(folder):
    """Every file of the study parses to its last line; no unfinished write under a real name."""
    source = open_source(folder)
    assert source.faults == ()
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert {len(row) for row in rows} == {len(rows[0])}
    for name in (SESSION_FILE, "history.jsonl"):
        path = folder / name
        if path.is_file():
            assert path.read_bytes().endswith(b"\n")
            for line in path.read_text(encoding="utf-8").splitlines():
                json.loads(line)
    return source


def is_there(folder, source, fact):
    kind, blade, *rest = fact
    if kind == "cuts":
        run = ("", blade)
        read = max(
            (r.cuts for r in source.log.rows if r.blade == blade and not r.waiting), default=0
        )
        return max(read_session(folder).cuts(run), read) >= rest[0]
    rows = [row for row in source.log.rows if (row.blade, row.cuts) == (blade, rest[0])]
    if kind == "paper":
        return any("paper" in row.readings for row in rows)
    return any(
        "sever_force_gf" in row.readings and row.readings["sever_force_gf"].value == float(rest[1])
        for row in rows
    )


def pull_the_plug(tmp_path, browser, moments, seed):
    """A session that is killed `moments` times; every acknowledged fact is asked for after each."""
    from playwright.sync_api import Error

    rng = random.Random(seed)
    stages = tuple(range(0, 4 * moments + 9, 4))
    folder = bench_study(tmp_path / "studies", stages=stages, readings=(FORCE, PAPER))
    server = Server(tmp_path / "studies", tmp_path / "server.log").start()
    page = browser.new_page()
    page.set_default_timeout(PATIENCE_MS)
    facts, number = [], 0
    try:
        go(page, server, "bench")
        for _ in range(moments):
            for _ in range(rng.randint(1, 3)):  # undisturbed, so that the machine's pace is known
                number, start = number + 1, time.perf_counter()
                facts.append(one_step(page, str(100 + number)))
                pace = time.perf_counter() - start
            # The plug is pulled somewhere within the next step, or just behind it.
            killer = kill_after(server.process.pid, rng.uniform(0, 1.3) * pace)
            with suppress(Error):  # the server is gone: what the page had not shown is no fact
                number += 1
                facts.append(one_step(page, str(100 + number), within_s=2 * pace + 1))
            assert killer.wait(timeout=30) == 0
            server.process.wait(timeout=30)
            source = whole(folder)
            lost = [fact for fact in facts if not is_there(folder, source, fact)]
            assert lost == [], (facts[-4:], read_history(folder)[-4:])
            server.start()
            go(page, server, "bench")
            page.wait_for_selector("h1")
    finally:
        page.close()
        server.stop(kill=True)
    return facts


def kill_after(group, seconds):
    """Pull the plug of a whole process group after some seconds, without a word."""
    deed = f"import os, time; time.sleep({seconds:.3f}); os.killpg({group}, 9)"
    return subprocess.Popen([sys.executable, "-c", deed])


def test_no_acknowledged_reading_is_lost_when_the_server_is_killed(tmp_path, browser):
    facts = pull_the_plug(tmp_path, browser, 2, seed=1)
    assert len(facts) >= 2  # one or more before each pulled plug


@pytest.mark.slow
@pytest.mark.parametrize("seed", [50, 51])
def test_fifty_pulled_plugs_in_two_sessions(tmp_path, browser, seed, artefacts):
    facts = pull_the_plug(tmp_path, browser, 25, seed=seed)
    taps = sum(fact[0] == "cuts" for fact in facts)
    words = f"25 plugs pulled: {taps} taps and {len(facts) - taps} readings shown, none lost\n"
    (artefacts / f"plugs_{seed}.txt").write_text(words)
    assert len(facts) >= 25


def test_taps_made_while_the_server_was_down_count_when_it_is_back(tmp_path, browser):
    folder = bench_study(tmp_path / "studies", stages=(50,), readings=(PAPER,))
    server = Server(tmp_path / "studies", tmp_path / "server.log").start()
    page = browser.new_page()
    page.set_default_timeout(PATIENCE_MS)
    try:
        go(page, server, "bench")
        page.get_by_role("button", name="+1", exact=True).click()
        page.get_by_role("heading", name="Blade K1, cut to 50: 49 to go").wait_for()
        page.get_by_text("Saved", exact=True).wait_for()  # else the first tap is sent again too
        server.stop(kill=True)
        for _ in range(3):
            page.get_by_role("button", name="+5", exact=True).click()
        page.get_by_text("Saving +15").wait_for()
        server.start()
        page.get_by_role("heading", name="Blade K1, cut to 50: 34 to go").wait_for()
        page.get_by_text("Saved", exact=True).wait_for()
        settle(page)
        assert read_session(folder).cuts(("", "K1")) == 16
    finally:
        page.close()
        server.stop(kill=True)


APPEND_MANY = """
import sys
from edgetest.store.journal import append_reading
folder, blade = sys.argv[1:]
for n in range(1, 201):
    row = {"blade": blade, "cuts": n, "sever_force_gf": 100 + n}
    append_reading(folder, row, doubled="refused")
"""


@pytest.mark.slow  # the same with fewer readings stands in tests/store/test_journal
def test_two_programs_append_two_hundred_readings_each(tmp_path):
    folder = bench_study(tmp_path, readings=(FORCE,), stages=(500,))
    command = [sys.executable, "-c", APPEND_MANY, str(folder)]
    devices = [subprocess.Popen([*command, blade]) for blade in ("K1", "K2")]
    assert [device.wait(timeout=120) for device in devices] == [0, 0]
    log = read_log(folder / "log.csv", study=open_source(folder).study)
    assert log.faults == ()
    read = [row for row in log.rows if not row.waiting]
    assert len(read) == 400
    assert {(r.blade, r.cuts, r.readings["sever_force_gf"].value) for r in read} == {
        (blade, n, 100.0 + n) for blade in ("K1", "K2") for n in range(1, 201)
    }
    assert len(read_history(folder)) == 400


def test_two_browsers_enter_readings_at_once(served, browser):
    """Each takes one blade; neither waits for the other, and all of both is there."""
    stages = tuple(range(4))
    folder = bench_study(
        served.workspace, name="two", stages=stages, readings=(FORCE | {"repeats": 1},)
    )
    pages = [browser.new_context().new_page() for _ in range(2)]  # a window of its own each
    for page, blade in zip(pages, ("K1", "K2"), strict=True):
        page.set_default_timeout(PATIENCE_MS)
        go(page, served, "bench?study=two")
        page.get_by_text("Turns, and another blade").click()
        if blade == "K2":  # K1 stands first and is chosen already
            pick(page, "Blade", f"{blade}: ")
        page.get_by_role("button", name="Take this blade now").click()
        page.get_by_role("heading", level=1, name=f"Blade {blade}, read").wait_for()
    for stage in stages:
        for page in pages:
            if stage:
                page.get_by_role("button", name="All 1", exact=True).click()
        for page in pages:
            # Until the page has gone on, the field of the stage before may stand beside.
            settle(page)
            expect(page.get_by_label("Thread severing force")).to_have_count(1, timeout=PATIENCE_MS)
            page.get_by_label("Thread severing force").fill(str(200 + stage))
        for page in pages:
            page.get_by_label("Thread severing force").press("Enter")
        for page, blade in zip(pages, ("K1", "K2"), strict=True):
            done = stage == stages[-1]
            words = "All stages|This blade|stages" if done else f"Blade {blade}, cut to {stage + 1}"
            page.get_by_role("heading", level=1, name=re.compile(words)).wait_for()
    for page in pages:
        page.context.close()
    rows = [row for row in open_source(folder).log.rows if not row.waiting]
    assert {(r.blade, r.cuts) for r in rows} == {(b, s) for b in ("K1", "K2") for s in stages}
    assert len(rows) == 2 * len(stages)
    assert open_source(folder).faults == ()


@pytest.mark.slow
def test_two_browsers_enter_two_hundred_readings_each(served, browser, artefacts):
    """Every reading by the keyboard, the two by turns as fast as the pages answer."""
    stages, checks = 10, 20
    folder = bench_study(
        served.workspace, name="four", stages=tuple(range(stages)),
        readings=(FORCE | {"repeats": checks},),
    )  # fmt: skip
    pages = [browser.new_context().new_page() for _ in range(2)]
    blades = {"K1": 1000, "K2": 2000}
    for page, blade in zip(pages, blades, strict=True):
        page.set_default_timeout(PATIENCE_MS)
        go(page, served, "bench?study=four")
        page.get_by_text("Turns, and another blade").click()
        if blade == "K2":
            pick(page, "Blade", f"{blade}: ")
        page.get_by_role("button", name="Take this blade now").click()
        page.get_by_role("heading", level=1, name=f"Blade {blade}, read").wait_for()
        settle(page)
    start, again = time.perf_counter(), 0
    for stage in range(stages):
        for check in range(1, checks + 1):
            label = f"Thread severing force, check {check} (gf)"
            for page, first in zip(pages, blades.values(), strict=True):
                page.get_by_label(label, exact=True).first.focus()
                page.keyboard.type(str(first + stage * checks + check))
                page.keyboard.press("Enter")
            again += sum(saved(page, label) for page in pages)
        for page in pages if stage < stages - 1 else ():
            page.get_by_role("button", name="All 1", exact=True).click()
            page.get_by_label("Thread severing force, check 1 (gf)", exact=True).wait_for()
            settle(page)
    seconds = time.perf_counter() - start
    for page in pages:
        page.context.close()
    source = open_source(folder)
    read = [row for row in source.log.rows if not row.waiting]
    many = stages * checks
    assert source.faults == ()
    assert len(read) == 2 * many == 400
    assert {(r.blade, r.cuts, r.check_no, r.readings["sever_force_gf"].value) for r in read} == {
        (blade, stage, check, float(first + stage * checks + check))
        for blade, first in blades.items()
        for stage in range(stages)
        for check in range(1, checks + 1)
    }
    assert len(read_history(folder)) == 2 * many
    words = (
        f"two browsers, {many} readings each by keyboard: {len(read)} there, {seconds:.0f} s; "
        f"Enter pressed again {again} times\n"
    )
    (artefacts / "two_browsers.txt").write_text(words)


def saved(page, label):
    """Wait until a field's reading is saved; Enter is pressed again where the page did not take it.

    Returns
    -------
    int
        How often it was pressed again.
    """
    for again in range(5):
        try:
            page.get_by_label(label, exact=True).wait_for(state="detached", timeout=5000)
        except TimeoutError:
            with suppress(TimeoutError):  # it may have gone just now
                page.get_by_label(label, exact=True).first.press("Enter", timeout=1000)
        else:
            settle(page)
            return again
    raise AssertionError(f"{label} was not saved")


def pick(page, label, start):
    """Choose the option of a select box that begins with some words, by the keyboard."""
    settle(page)
    field = page.get_by_label(label, exact=True)
    field.click()
    under = page.locator("[role=option][data-focused=true]")
    for _ in range(10):  # the list opens on the first key that the field hears
        page.wait_for_timeout(400)
        if under.count() and under.inner_text().startswith(start):
            field.press("Enter")
            return
        field.press("ArrowDown")
    raise AssertionError(f"no option begins with {start}")

"""What does a user do that writes to the disk: every command and every action of a page."""

from edgetest.store.journal import append_reading, correct_reading, fill_row, undo_last
from edgetest.store.study_jobs import begin_test
from edgetest.store.study_zip import import_study
from edgetest.store.typed_drafts import drop_typed, keep_typed, settle_typed
from edgetest.store.workspace import (
    copy_protocol,
    copy_sample_run,
    replace_log,
    save_photograph,
)
from edgetest.study.bench.bench_entry import (
    remark,
)
from edgetest.study.bench.session_file import (
    count_taps,
    end_run,
    leave_out,
    note_fact,
    read_session,
    undo_tap,
)
from edgetest.study.bench.unsealing import unseal_names
from edgetest.study.facts.set_facts import add_entry, last_facts, set_facts, take_entry, undo_facts
from edgetest.study.facts.study_drafts import (
    begin_draft,
    change_draft,
    drop_draft,
    make_study,
)
from edgetest.study.photos.added_photos import add_photo
from edgetest.study.photos.corrections import correct
from edgetest.study.photos.sort_tray import take_in
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import add_row, name_blades, put_facts
from edgetest.study.study_edit import put_document_wishes
from tests.benchmarks.disk_bench import (
    at_bench,
    at_lens,
    back_from_log,
    chop_noted,
    corrected,
    due,
    in_tray,
    left_out,
    measured_station,
    piece_added,
    recorded,
    station,
    taken_back,
    tapped,
)
from tests.benchmarks.disk_demo import small_demo
from tests.benchmarks.disk_faults import Action
from tests.benchmarks.disk_studies import (
    LOG,
    READING,
    RUN,
    WORD,
    apex_pictures,
    chopped,
    draft,
    drafts,
    facts,
    filled,
    fresh,
    greys,
    greys_of_a_study,
    heat_taken_back,
    loose_photographs,
    mended_piece,
    not_begun,
    of_command,
    other_use,
    own_rules,
    own_saved,
    photographed,
    read,
    repeats,
    ruled,
    said,
    scaled,
    sealed,
    sealed_before,
    shot,
    steel,
    typed,
    zip_of,
)

COMMANDS = (
    of_command("new", lambda root: None, "new", "{root}/n", "--protocol", "sisal_rope",
               "--blade", "H1=hard", "--blade", "S1=soft"),
    of_command("new --from a log", filled, "new", "{root}/n", "--protocol", "sisal_rope",
               "--from", "{root}/s/log.csv"),
    of_command("new --steel-for", lambda root: None, "new", "{root}/n", "--steel-for", "knife"),
    of_command("enter a reading", fresh, "enter", "{root}/s", "blade=K1", "cuts=10",
               "station_mm=20", "edge_width_um=2.5"),
    of_command("enter a chop", chopped, "enter", "{root}/s", "blade=H1", "kind=billet", "order=1",
               "chops=12", "diameter_mm=50"),
    of_command("enter --evidence", steel, "enter", "{root}/s", "--evidence", "pieces", "id=Z",
               "origin=leaf spring", again=False),
    of_command("enter --evidence --remove", steel, "enter", "{root}/s", "--evidence", "heats",
               "coupon=T1", "--remove", again=False),
    of_command("undo a reading", read, "undo", "{root}/s", again=False),
    of_command("undo a fact", facts, "undo", "{root}/s", again=False),
    of_command("check after an edit outside", lambda root: (
        read(root), (root / "s" / "log.csv").write_text(
            (root / "s" / "log.csv").read_text().replace(",2.5", ",2.75"))),
        "check", "{root}/s"),
    of_command("plan", filled, "plan", "{root}/s"),
    of_command("plan --anew", lambda root: (filled(root), said("plan", root / "s")),
               "plan", "{root}/s", "--anew", "--seed", 2),
    of_command("protocols --to", lambda root: None, "protocols", "sisal_rope", "--to",
               "{root}/own_rope.toml"),
    of_command("measure a study", photographed, "measure", "{root}/s", "--workers", 1),
    of_command("measure --overlay", photographed, "measure", "{root}/s", "--workers", 1,
               "--overlay", "{root}/o"),
    of_command("scale --keep-as", ruled, "scale", "{root}/ruling.png", "--pitch-um", 10,
               "--keep-as", "scope", "--calibrations-in", "{root}"),
    of_command("tone --keep-as", greys, "tone", "{root}/wedge.png", "--light",
               "0.9,0.45,0.22,0.11", "--keep-as", "scope", "--calibrations-in", "{root}"),
    of_command("tone --study", greys_of_a_study, "tone", "{root}/wedge.png", "--light",
               "0.9,0.45,0.22,0.11", "--study", "{root}/s"),
    of_command("measure --keep-in", loose_photographs, "measure", "{root}/loose", "--um-per-px",
               0.4, "--workers", 1, "--keep-in", "{root}/kept"),
    of_command("stack --to", apex_pictures, "stack", "{root}/1.png", "{root}/2.png",
               "{root}/3.png", "--um-per-px", 0.4, "--to", "{root}/sharp.png"),
    of_command("survey --to", apex_pictures, "survey", "{root}/1.png", "{root}/2.png",
               "--um-per-px", 0.4, "--to", "{root}/widths.csv"),
    of_command("repeatability --save", repeats, "repeatability", "{root}/repeats.csv", "--save",
               "{root}/s"),
    of_command("report", filled, "report", "{root}/s"),
    of_command("verdict's document", steel, "report", "{root}/s"),
    of_command("export --to", filled, "export", "{root}/s", "--to", "{root}/e"),
    of_command("export --zip", filled, "export", "{root}/s", "--zip", "{root}/e.zip"),
    of_command("shop-book", filled, "shop-book", "{root}", "--invented"),
    Action("demo", lambda root: None, small_demo),
    Action("demo where an earlier one stands", small_demo, small_demo),
)  # fmt: skip

PAGES = (
    Action("page: import a zip", zip_of,
           lambda root: import_study((root / "s.zip").read_bytes(), root, name="t")),
    Action("page: copy a sample run", fresh,
           lambda root: copy_sample_run("harrow_tine_study", root / "t")),
    Action("page: replace the log", read,
           lambda root: replace_log(root / "s", LOG.replace("S", "K").encode()), again=False),
    Action("page: a row of the log", fresh, lambda root: append_reading(
        root / "s", READING, doubled="refused")),
    Action("page: correct a cell", read, lambda root: correct_reading(
        root / "s", open_source(root / "s").log.rows[-1].line, "note", "seen", was="")),
    Action("page: fill a row", fresh, lambda root: fill_row(
        root / "s", 2, {"edge_width_um": 2.5}, of={"blade": "K1"})),
    Action("page: undo", read, lambda root: undo_last(root / "s"), again=False),
    Action("page: add a photograph", filled,
           lambda root: add_photo(open_source(root / "s"), "a.png", shot())),
    Action("page: save a photograph", filled,
           lambda root: save_photograph(root / "s", "a.png", shot())),
    Action("page: correct a photograph", photographed, lambda root: correct(
        root / "s", "S1_roll1_000_020.jpg", "um_per_px", 0.5, who="maker", when="2026-11-20"),
        again=False),
    Action("page: copy a protocol", filled,
           lambda root: copy_protocol("sisal_rope", root / "s", "own_rope")),
    Action("page: save a protocol", own_rules, own_saved),
    Action("page: a fact", fresh, lambda root: set_facts(
        root / "s", (), {"maker": None}, {"maker": "A maker"})),
    Action("page: one more blade", fresh, lambda root: add_entry(
        root / "s", ("blades",), {"id": "K3"})),
    Action("page: take a blade out", fresh, lambda root: take_entry(
        root / "s", ("blades",), 1), again=False),
    Action("page: undo a fact", facts, lambda root: undo_facts(root / "s", last_facts(root / "s"))
           if last_facts(root / "s") else None, again=False),
    Action("page: wishes for the document", filled, lambda root: put_document_wishes(
        root / "s", {"maker": ""}, {"maker": "A maker"})),
    Action("page: a scale", filled, scaled),
    Action("page: names sealed", not_begun, sealed, again=False),
    Action("page: names unsealed", sealed_before,
           lambda root: unseal_names(root / "s", WORD), again=False),
    Action("page: make the study of a draft", draft, lambda root: [
        make_study(f) for f in drafts(root)]),
    Action("page: a test for a steel", steel, lambda root: begin_test(
        root / "s", "sisal_rope", blades=[{"id": "T1"}])),
    Action("page: what is typed", fresh, lambda root: keep_typed(
        root / "s", "w1", "facts", "maker", "", "A maker")),
    Action("page: typed and saved", typed, lambda root: settle_typed(
        root / "s", "w1", "facts", {"maker": "A maker"}, None)),
    Action("page: typed and dropped", typed, lambda root: drop_typed(root / "s", "w1", "facts")),
    Action("page: begin a draft", fresh, lambda root: begin_draft(root, "edge"), again=False),
    Action("page: change a draft", draft, lambda root: change_draft(
        drafts(root)[0], title="Other")),
    Action("page: drop a draft", draft, lambda root: [drop_draft(f) for f in drafts(root)]),
    Action("page: steel, a piece mended", steel, mended_piece, again=False),
    Action("page: steel, another use", steel, other_use),
    Action("page: steel, a known bar", steel, lambda root: put_facts(
        root / "s", {"known_high": "an old file"}, {"known_high": "a new file"}), again=False),
    Action("page: steel, blades of a piece", filled, lambda root: name_blades(
        root / "s", {"K1": "disc"}, None)),
    Action("page: steel, one more piece", steel, lambda root: add_row(
        root / "s", "pieces", {"id": "Z", "origin": "leaf spring"}), again=False),
    Action("page: steel, a heat taken back", steel, heat_taken_back, again=False),
)  # fmt: skip

BENCH = (
    Action("bench: a reading", at_bench, recorded, again=False),
    Action("bench: a remark", at_bench, lambda root: remark(
        root / "s", due(root)[1], note="warm"), again=False),
    Action("bench: a photograph", at_lens, station, again=False),
    Action("bench: a photograph, measured", at_lens, measured_station, again=False),
    Action("bench: correct", tapped, corrected, again=False),
    Action("bench: leave out", tapped, left_out, again=False),
    Action("bench: take back", tapped, taken_back, again=False),
    Action("bench: a tap", tapped, lambda root: count_taps(
        root / "s", RUN, [("b", 1)], stage=10), again=False),
    Action("bench: take a tap back", tapped, lambda root: undo_tap(
        root / "s", RUN, shown=read_session(root / "s").last_tap(RUN)), again=False),
    Action("bench: end a run", tapped, lambda root: end_run(root / "s", RUN), again=False),
    Action("bench: let a stage go", tapped, lambda root: leave_out(
        root / "s", RUN, 10), again=False),
    Action("bench: a fact", tapped, lambda root: note_fact(
        root / "s", RUN, "operator", "A"), again=False),
    Action("bench: a cell of a chop", chopped, chop_noted, again=False),
    Action("bench: one more billet", chopped, piece_added, again=False),
    Action("tray: take in", at_lens, lambda root: take_in(
        open_source(root / "s"), [("a.png", shot()), ("b.png", shot(2))]), again=False),
    Action("tray: put into the log", in_tray, back_from_log, again=False),
)  # fmt: skip

ACTIONS = (*COMMANDS, *PAGES, *BENCH)

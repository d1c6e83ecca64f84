"""What was tested, and how: protocol, heat treatments step by step, blades."""

from edgetest.report.documents.blocks import facts, section, table, text
from edgetest.report.documents.hands_and_batches import batches_words, hands_words, rolls_words
from edgetest.report.figures.plot_style import reading_words
from edgetest.report.letters import breakable
from edgetest.report.wording import NOT_NOTED, SEALED, in_units
from edgetest.store.logs import LIFE
from edgetest.store.protocol import describe
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.wear.left_out_rows import mishap_told
from edgetest.study.wear.rolls_cut import roll_of_rows
from edgetest.study.words import counted
from edgetest.units import as_typed

NOTED = "how many cuts each blade lasted, as it was noted"
# Of a row whose note says no more than that it counts: others could not tell what was asked.
KEPT = "the reading at {cuts:g} cuts was looked at and counts"


def tested_section(result, units):
    """Protocol, blades with what was done to them, heat treatments step by step."""
    study, protocol = result.study, result.protocol
    words, unit = reading_words(result.reading)
    edge = protocol.edge_preparation
    asked = f"Edge: {edge.finish}; wire edge {edge.wire_edge}."
    rows = [
        ("Protocol", protocol.title),
        ("It asks for", in_units(f"{describe(protocol)} {asked}", units)),
        ("Reading", NOTED if result.reading == LIFE else _limit_words(words, unit, result.limit)),
        ("Control blade", _control_words(study.control, result.log) if study.control else ""),
        ("Who, by the log", hands_words(result.log)),
        ("Cut on", rolls_words(result.log)),
        ("Blades by batch", batches_words(study)),
        ("Notes", study.notes),
    ]
    steps = [
        (
            breakable(treatment.title or treatment.id),
            _steps_words(treatment, units) or "steps not noted",
        )
        for treatment in study.heat_treatments
    ]
    blocks = [facts(rows)]
    if steps:
        lead = (
            "Heat treatments, step by step:" if len(steps) > 1 else "Heat treatment, step by step:"
        )
        blocks += [text(lead, lead=True), facts(steps)]
    noted = _noted(result)
    if noted:
        noted = [text("Noted of the blades and in the log:", lead=True), facts(noted)]
    return section("What was tested, and how", *blocks, *_blades_blocks(study, units), *noted)


def _noted(result):
    """What was typed as a note of a blade, or in rows of the log, word for word."""
    if is_sealed(result.study):
        return []
    told = [
        (_blade_words(blade, result.study), blade.note)
        for blade in result.study.blades if blade.note
    ]  # fmt: skip
    lines: dict[str, dict[str, list[int]]] = {}  # by what was typed, then by blade
    for row in result.log.rows:
        if row.note:
            note = row.note if mishap_told(row.note) else KEPT.format(cuts=row.cuts)
            lines.setdefault(note, {}).setdefault(row.blade, []).append(row.line)
    rows = [
        (
            breakable(", ".join(of)),
            f"{note} ({_rows_words([n for own in of.values() for n in own])})",
        )
        for note, of in lines.items()
    ]
    return [*told, *rows]


def _rows_words(lines):
    """Rows of the log: "row 5", "rows 5 to 9", "3 rows from 5 to 40"."""
    first, last = min(lines), max(lines)
    if first == last:
        return f"row {first}"
    whole = len(lines) == last - first + 1
    return f"rows {first} to {last}" if whole else f"{len(lines)} rows from {first} to {last}"


def _control_words(control, log):
    """The control blade and in how many blocks of the log it was really run."""
    rows = [row for row in log.rows if not row.waiting and not row.exclude]
    blocks = {row.block for row in rows} - {""}
    own = {row.block for row in rows if row.blade == control}
    if not own:
        return f"{control}, not in the log"
    if not blocks:
        return f"{control}, 1 run"
    cut_on = roll_of_rows(rows)
    rolls = {*cut_on} - {""}
    if rolls <= blocks:
        return f"{control}, in {_of_all(own, blocks, _kind(blocks) or 'block')}"
    on = {roll for row, roll in zip(rows, cut_on, strict=True) if row.blade == control}
    of_rolls = _of_all(on, rolls, _kind(rolls) or "roll")
    return f"{control}, in {_of_all(own, blocks, 'block')}, on {of_rolls}"


def _kind(names):
    """What they are by their names: "roll" of "roll 1" and "roll 2"; "" where these differ."""
    kinds = {name.rpartition(" ")[0] for name in names}
    return kinds.pop() if len(kinds) == 1 else ""


def _of_all(own, every, kind):
    return f"{len(own - {''})} of {counted(len(every), kind)}"


def _limit_words(words, unit, limit):
    if limit is None:
        return f"{words}; no limit was set"
    if isinstance(limit, str):
        return f"{words}; a blade's life ends where it falls below “{limit}”"
    return f"{words}; a blade's life ends at {limit:g} {unit}".rstrip()


def _steps_words(treatment, units):
    """The steps in the units asked for, and what was typed of them as it was typed."""
    bare = [step.model_copy(update={"note": ""}).words() for step in treatment.steps]
    steps = "; ".join(
        in_units(words, units) + (f"{',' * (' ' in words)} {step.note}" if step.note else "")
        for words, step in zip(bare, treatment.steps, strict=True)
    )
    return ". ".join(part for part in (steps, treatment.note) if part)


def _blades_blocks(study, units):
    """The blades: what all share in a line, what differs in a table."""
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    order = [*titles, None]
    blades = sorted(study.blades, key=lambda blade: order.index(blade.heat_treatment))
    blank = SEALED if is_sealed(study) else NOT_NOTED
    columns = _columns(blades, units, blank)
    differs = [(head, words) for head, words in columns if len(set(words)) > 1]
    common = _common([(head[0], words) for head, words in columns], blank)
    names = [
        [_blade_words(blade, study), breakable(titles.get(blade.heat_treatment, blank))]
        for blade in blades
    ]
    shared = [text("Of all blades alike:", lead=True), facts(common)] if common else []
    if not differs:
        return [*shared, text("Blades:", lead=True), facts(_blades_of_each(names))]
    first = [("Blade", "left", 1.2), ("Heat treatment", "left", 1.15)]
    rows = [
        [*name, *words]
        for name, words in zip(names, zip(*(each for _, each in differs), strict=True), strict=True)
    ]
    return [*shared, table([*first, *(head for head, _ in differs)], rows)]


def _columns(blades, units, blank):
    """Each fact's head and what it is of each blade; batches only where somebody typed one."""
    noted = (*FACTS, BATCH) if any(blade.batch for blade in blades) else FACTS
    return [(head, [words(blade, units) or blank for blade in blades]) for head, words in noted]


def _common(columns, blank):
    """Facts that all blades share; those not noted, or sealed, stand together in one line."""
    alike = [(name, words[0]) for name, words in columns if len(set(words)) == 1]
    untold = "; ".join(name for name, words in alike if words == blank)
    noted = [(name, words) for name, words in alike if words != blank]
    return [*noted, (blank.capitalize(), untold)] if untold else noted


def _blades_of_each(names):
    """Heat treatment and its blades in a line, where nothing else tells them apart."""
    groups: dict[str, list[str]] = {}
    for blade, treatment in names:
        of = f"Heat treatment {treatment}" if treatment == NOT_NOTED else treatment
        groups.setdefault(of, []).append(blade)
    return [(treatment, ", ".join(blades)) for treatment, blades in groups.items()]


def _blade_words(blade, study):
    if not blade.title:
        name = blade.id
    else:
        name = blade.title if blade.id in blade.title else f"{blade.id}, {blade.title}"
    told = blade.id != study.control or "control" in name.lower().split()
    return breakable(name) + ("" if told else " · control")


def known_angle_words(blade, _units=""):
    """The edge angle, with how closely it is known where somebody typed that."""
    known = blade.angle_u_deg is not None
    return blade.angle_with_u_words() if known else blade.angle_words()


def _behind_words(blade, units):
    mm = blade.thickness_behind_edge_mm
    return "" if mm is None else in_units(as_typed(mm, "mm"), units)


def _target_words(blade, _units):
    if blade.hardness_target_hrc is None:
        return ""
    low, high = blade.hardness_target_hrc
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def blade_hardness_words(blade, _units=None):
    """Hardness as it was got, in HRC: numbers, or between two files; never a wish."""
    if blade.hardness_hrc:
        return ", ".join(f"{reading:g}" for reading in blade.hardness_hrc)
    files = blade.hardness_files
    if files is None:
        return ""
    ends = [f"over {files.skates:g}" if files.skates is not None else ""]
    ends.append(f"under {files.bites:g}" if files.bites is not None else "")
    return f"{', '.join(end for end in ends if end)} (files)"


# Heading of a column of the blades' table, and what it says of a blade; "" where not noted.
FACTS = (
    (("Steel", "left", 1.5), lambda blade, _: breakable(blade.steel)),
    (("Edge angle", "left", "auto"), known_angle_words),
    (("Edge finish", "left", 1.2), lambda blade, _: blade.edge_finish),
    (("Behind the edge", "right", "auto"), _behind_words),
    (("Wanted, HRC", "right", "auto"), _target_words),
    (("Measured, HRC", "right", "auto"), blade_hardness_words),
)
BATCH = ("Batch", "left", "auto"), lambda blade, _: breakable(blade.batch or "")

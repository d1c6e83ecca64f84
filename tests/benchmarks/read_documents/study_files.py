"""How does a maker write a study down: as text in an editor, or by the program's own commands?"""

import csv
import io
from pathlib import Path

from tests.benchmarks.chop_worlds.answers import run
from tests.benchmarks.read_documents.maker_words import Typed


def write(study, folder):
    """The folder of a study; the commands that made it are told where they fail."""
    folder = Path(folder)
    if study.by_command:
        _by_command(study, folder)
    else:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "study.toml").write_text(_study_toml(study), encoding="utf-8")
        (folder / "log.csv").write_bytes(log_text(study).encode("utf-8"))


def log_text(study):
    """The log as CSV, with decimal commas where the maker's spreadsheet has them."""
    out = io.StringIO()
    comma = study.decimal_comma
    table = csv.DictWriter(out, study.columns, delimiter=";" if comma else ",")
    table.writeheader()
    for row in study.rows:
        cells = {c: row.get(c, "") for c in study.columns}
        if comma:
            cells["edge_width_um"] = cells.get("edge_width_um", "").replace(".", ",")
            cells = {c: cells[c] for c in study.columns}
        table.writerow(cells)
    return out.getvalue()


def quoted(value):
    """A value as it stands in study.toml."""
    if isinstance(value, Typed):
        return value.toml
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "[" + ", ".join(quoted(v) for v in value) + "]"
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


def _line(key, value):
    plain = key in ("date", "angle_per_side_deg", "included_angle_deg")
    return f"{key} = {value if plain else quoted(value)}"


def _step(kind, keys):
    inside = ", ".join(_line(k, v) for k, v in keys.items())
    return f'  {{kind = "{kind}"' + (f", {inside}" if inside else "") + "},"


def _treatment(id_, title, steps):
    lines = ["[[heat_treatments]]", f'id = "{id_}"']
    lines += [f'title = "{title}"'] if title else []
    return lines + (["steps = [", *(_step(*s) for s in steps), "]"] if steps else [])


def _blade(blade):
    lines = ["[[blades]]", f'id = "{blade.id}"']
    lines += [f'heat_treatment = "{blade.treatment}"'] if blade.treatment else []
    return lines + [_line(k, v) for k, v in blade.facts.items()]


def _study_toml(study):
    head = [_line(k, v) for k, v in study.head.items()]
    head.append(f'protocol = "{study.protocol}"')
    head += [f'control = "{study.control}"'] if study.control else []
    parts = [head]
    if study.document:
        parts.append(["[document]", *(_line(k, v) for k, v in study.document.items())])
    parts += [_treatment(id_, *rest) for id_, rest in study.treatments.items()]
    parts += [_blade(blade) for blade in study.blades]
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _by_command(study, folder):
    """`edgetest new`, the facts typed into its study.toml, then `edgetest enter` by the row."""
    command = ["new", str(folder), "--protocol", study.protocol, "--title", study.head["title"]]
    for blade in study.blades:
        treated = f"={blade.treatment}" if blade.treatment else ""
        command += ["--blade", blade.id + treated]
    command += ["--control", study.control] if study.control else []
    told = run(command)
    if told[0]:
        raise RuntimeError(f"study {study.number}, new: {told[2] or told[1]}")
    text = (folder / "study.toml").read_text(encoding="utf-8")
    text = _filled(text, study)
    (folder / "study.toml").write_text(text, encoding="utf-8")
    by_hand, typed = study.rows[:-6], study.rows[-6:]
    study.columns = sorted({c for row in study.rows for c in row if row[c]})
    whole, study.rows = study.rows, by_hand
    (folder / "log.csv").write_bytes(log_text(study).encode("utf-8"))
    study.rows = whole
    for row in typed:
        cells = [f"{c}={v}" for c, v in row.items() if v]
        code, out, err = run(["enter", str(folder), *cells])
        if code:
            raise RuntimeError(f"study {study.number}, enter {cells}: {err or out}")


def _filled(text, study):
    """The study.toml that `new` wrote, with what the maker knows typed under each id."""
    out = []
    head = [_line(k, v) for k, v in study.head.items() if k != "title"]
    for line in text.splitlines():
        if line.startswith("title = "):
            out += [line, *head]
            continue
        out.append(line)
        for id_, (title, steps) in study.treatments.items():
            if line == f'id = "{id_}"':
                out += _treatment(id_, title, steps)[2:]
        for blade in study.blades:
            if line == f'id = "{blade.id}"':
                out += [_line(k, v) for k, v in blade.facts.items()]
    if study.document:
        out += ["", "[document]", *(_line(k, v) for k, v in study.document.items())]
    return "\n".join(out) + "\n"

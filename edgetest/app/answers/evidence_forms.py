"""Forms of the verdict's page: what each step of the work writes down."""

import streamlit as st

from edgetest.app.open_study import faults_kept, faults_shown
from edgetest.study.steel.evidence_edit import (
    add_row,
    name_blades,
    put_facts,
    put_piece,
    take_out,
)
from edgetest.study.steel.evidence_records import COATINGS, OUTCOMES, ROUTES

MARK = "not seen yet"
SPARKS = {
    "like_low": "like the low-carbon steel",
    "between": "between the two",
    "like_high": "like the high-carbon steel, or more",
}
NEW = "another piece"
HARDNESS_HELP = (
    "A number (61), a bracket of files (60-65: file 60 skated, file 65 bit), <40, >65, "
    "or 'skates all'. Several, separated by ;"
)
# Which rows of the evidence a step shows, to be taken out where they are mistaken.
ROWS = {
    "coupon": "quenched", "quench_ladder": "quenched", "temper_ladder": "tempered",
}  # fmt: skip


def rows_of(source, step):
    """What was written down at a step, each row with a button to take it out."""
    table = ROWS.get(step)
    rows = (source.study.evidence or {}).get(table, []) if table else []
    for number, row in enumerate(rows):
        words, button = st.columns([5, 1], vertical_alignment="center")
        words.markdown("; ".join(f"{key.replace('_', ' ')} {_shown(row[key])}" for key in row))
        button.button(
            "Take out", key=f"verdict.out.{step}.{number}", on_click=_kept,
            args=(take_out, source.path, table, row),
        )  # fmt: skip


def _shown(value):
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    return {True: "yes", False: "no"}.get(value, str(value)) if value in (True, False) else value


def _kept(save, *arguments):
    """Save from a button's callback; a fault is shown by the page that comes back."""
    with faults_kept():
        save(*arguments)


def save_and_redraw(save, *arguments):
    """Save and draw the page anew; a fault is shown under the form, which keeps what was typed."""
    with faults_shown():
        save(*arguments)
        st.rerun()


def _pieces(source):
    return list((source.study.evidence or {}).get("pieces", []))


def _count(source, table):
    """Rows written down: a form whose name holds it starts blank after each."""
    return len((source.study.evidence or {}).get(table, []))


def _piece(source, form, key):
    """The piece a row belongs to; nothing to choose where there is one."""
    names = [piece["id"] for piece in _pieces(source)]
    if len(names) < 2:
        return names[0] if names else None
    return form.selectbox("Piece", names, key=f"verdict.{key}.piece")


def enough(source, result):
    """The pieces: where from, how many blades, and any coating."""
    pieces = _pieces(source)
    names = [piece["id"] for piece in pieces]
    chosen = st.selectbox("Piece", [*names, NEW], key="verdict.enough.which") if names else NEW
    was = next((piece for piece in pieces if piece["id"] == chosen), None)
    now = was or {}
    with st.form(f"verdict.enough.{chosen}", border=False):
        left, right = st.columns(2)
        name = left.text_input("Name of the piece", now.get("id", ""), placeholder="disc A")
        form = right.text_input("What it is", now.get("form", ""), placeholder="disc, leaf, bar")
        place = left.text_input("Where it comes from", now.get("source", ""))
        blades = right.number_input(
            "Blades it would make",
            0.0,
            value=_number(now.get("makes_blades")),
            step=1.0,
            format="%g",
        )
        coatings = list(COATINGS)
        if now.get("coating") and now["coating"] not in coatings:
            coatings.append(now["coating"])
        coating = left.selectbox(
            "Coating", coatings, placeholder="look at it first",
            index=coatings.index(now["coating"]) if now.get("coating") else None,
        )  # fmt: skip
        thick = sized(right, "Thickness, mm", now.get("thickness_mm"), placeholder="6 or 1/4 in")
        if not st.form_submit_button("Save the piece", type="primary"):
            return
    if not name.strip():
        st.error("The piece needs a name: write what stands on it, such as disc A.")
        return
    piece = {
        **now, "id": name.strip(), "form": form.strip(), "source": place.strip(),
        "makes_blades": blades, "coating": coating,
        "thickness_mm": thick,
    }  # fmt: skip
    if was is None:
        save_and_redraw(add_row, source.path, "pieces", piece)
    else:
        save_and_redraw(put_piece, source.path, was, piece)


def sized(column, label, was=None, **how):
    """A size as typed, a number or a text with its unit; None where the field is blank."""
    shown = "" if was is None else f"{was:g}" if isinstance(was, int | float) else was
    text = column.text_input(label, shown, **how).strip()
    return _cell(text) if text else None


def _number(written):
    return float(written) if isinstance(written, int | float) else None


def magnet_and_spark(source, result):
    """Magnet and sparks of each piece, beside two known steels."""
    data = source.study.evidence or {}
    for piece in _pieces(source):
        with st.form(f"verdict.spark.{piece['id']}", border=False):
            st.markdown(f"**{piece['id']}**")
            left, right = st.columns(2)
            magnetic = left.segmented_control(
                "Magnet", ["sticks", "does not"],
                default={True: "sticks", False: "does not"}.get(piece.get("magnetic")),
            )  # fmt: skip
            grades = list(SPARKS)
            place = grades.index(piece["sparks"]) if piece.get("sparks") else None
            sparks = right.selectbox(
                "Sparks", grades, index=place, format_func=lambda grade: SPARKS[grade],
                placeholder=MARK,
            )  # fmt: skip
            note = st.text_input("What the sparks looked like", piece.get("spark_note", ""))
            if st.form_submit_button("Save"):
                seen = {
                    **piece, "sparks": sparks, "spark_note": note.strip(),
                    "magnetic": None if magnetic is None else magnetic == "sticks",
                }  # fmt: skip
                save_and_redraw(put_piece, source.path, piece, seen)
    with st.form("verdict.known", border=False):
        st.markdown("**The two known steels beside it**")
        left, right = st.columns(2)
        low = left.text_input("Low-carbon steel", data.get("known_low", ""))
        high = right.text_input("High-carbon steel", data.get("known_high", ""))
        if st.form_submit_button("Save the known steels"):
            was = {key: data.get(key) for key in ("known_low", "known_high")}
            facts = {"known_low": low.strip() or None, "known_high": high.strip() or None}
            save_and_redraw(put_facts, source.path, was, facts)


def quench(source, result, *, key, media):
    """One coupon straight from the quench."""
    with st.form(f"verdict.{key}.{_count(source, 'quenched')}", border=False):
        st.markdown("**Write down a coupon**")
        left, right = st.columns(2)
        piece = _piece(source, left, key)
        medium = right.segmented_control("Quenched in", media)
        hardness = left.text_input("Hardness straight from the quench", help=HARDNESS_HELP)
        grain = right.selectbox("Break", ["fine", "medium", "coarse"], index=None,
                                placeholder="not broken")  # fmt: skip
        thick = sized(left, "Coupon, mm thick", placeholder="6 or 1/4 in")
        outcome = right.selectbox("After the quench", OUTCOMES, index=None, placeholder="not noted")
        note = st.text_input("Note")
        if not st.form_submit_button("Save the coupon", type="primary"):
            return
    row = {
        "piece": piece, "medium": medium, "hardness": cells(hardness), "grain": grain,
        "coupon_mm": thick, "outcome": outcome, "note": note.strip(),
    }  # fmt: skip
    save_and_redraw(add_row, source.path, "quenched", row)


def coupon(source, result):
    """The first coupon."""
    quench(source, result, key="coupon", media=["oil", "water", "air"])


def quench_ladder(source, result):
    """The ladder, slowest first."""
    quench(source, result, key="ladder", media=["air", "oil", "water"])


def cells(text):
    """What was typed as one hardness or several: numbers as numbers, brackets as text."""
    parts = [part.strip() for part in text.replace("\n", ";").split(";") if part.strip()]
    return [_cell(part) for part in parts]


def _cell(part):
    try:
        return float(part.replace(",", "."))
    except ValueError:
        return part


def temper_ladder(source, result):
    """One step of the temper ladder."""
    with st.form(f"verdict.temper.{_count(source, 'tempered')}", border=False):
        st.markdown("**Write down a temper**")
        left, right = st.columns(2)
        piece = _piece(source, left, "temper")
        route = right.segmented_control("Steel", ROUTES, default=ROUTES[0], required=True)
        heat = sized(left, "Temper, °C", placeholder="200 or 400 °F")
        minutes = sized(right, "Minutes", placeholder="60 or 2 h")
        repeats = left.number_input("Times", 1, 5, value=None)
        hardness = right.text_input("Hardness after it", help=HARDNESS_HELP)
        use = st.toggle("This is the temper for use")
        if not st.form_submit_button("Save the temper", type="primary"):
            return
    row = {
        "piece": piece, "route": route, "temperature_c": heat, "time_min": minutes,
        "repeats": repeats, "hardness": cells(hardness), "for_use": use,
    }  # fmt: skip
    save_and_redraw(add_row, source.path, "tempered", row)


def pack_form(source, result):
    """The pack: its heat, and the edge that went through it."""
    was = (source.study.evidence or {}).get("pack")
    heats = list((was or {}).get("heats", [{}]))
    sections = list((was or {}).get("sections", [{}]))
    heat, edge = heats[0], sections[0]
    removed = edge.get("removed_mm")
    with st.form("verdict.pack", border=False):
        st.markdown("**The pack, as it was or as it is planned**")
        left, right = st.columns(2)
        compound = left.text_input("Compound", (was or {}).get("compound", ""))
        core = right.number_input(
            "Carbon of the steel before, %", 0.0, 2.1, _number((was or {}).get("core_pct")), 0.01,
            help="Leave it blank to take it from the coupon's hardness.",
        )  # fmt: skip
        degrees = sized(left, "Pack, °C", heat.get("temperature_c"), placeholder="900 or 1650 °F")
        hours = sized(right, "Hours with the steel at heat", heat.get("hours"))
        thick = sized(left, "Edge in the pack, mm thick", edge.get("thickness_mm"))
        faces = isinstance(removed, list)  # each face its own: only a number typed replaces both
        off = sized(right, "Ground off each face afterwards, mm", None if faces else removed)
        if not st.form_submit_button("Save the pack", type="primary"):
            return
    grind = removed if faces and off is None else off
    pack = {
        **(was or {}), "compound": compound.strip(), "core_pct": core,
        "heats": [
            _filled({"name": "pack", "surface": "carburising", **heat, "temperature_c": degrees,
                     "hours": hours}),
            *heats[1:],
        ],
        "sections": [
            _filled({"name": "edge", **edge, "thickness_mm": thick, "removed_mm": grind}),
            *sections[1:],
        ],
    }  # fmt: skip
    save_and_redraw(put_facts, source.path, {"pack": was}, {"pack": _filled(pack)})


def _filled(entries):
    """The entries that hold something; zero does."""
    return {key: value for key, value in entries.items() if value is not None and value != ""}


def test_blade(source, result):
    """Which blade came from which piece, and which is of known steel."""
    study = source.study
    names = list(result.evidence.piece_names)
    with st.form("verdict.blades", border=False):
        ids = [blade.id for blade in study.blades]
        reference = st.selectbox(
            "Reference blade, of known steel", ids, placeholder="none yet",
            index=ids.index(study.reference) if study.reference else None,
        )  # fmt: skip
        pieces = {}
        for blade in study.blades:
            pieces[blade.id] = st.selectbox(
                f"{blade.id} {blade.title} was forged from", ["", *names],
                index=["", *names].index(blade.piece) if blade.piece in names else 0,
                format_func=lambda name: name or "known steel, or not said",
            )  # fmt: skip
        if st.form_submit_button("Save", type="primary"):
            save_and_redraw(name_blades, source.path, pieces, reference)
    st.caption("Cuts and readings go into the log, on the pages Bench and Log.")


FORMS = {
    "enough": enough,
    "magnet_and_spark": magnet_and_spark,
    "coupon": coupon,
    "quench_ladder": quench_ladder,
    "temper_ladder": temper_ladder,
    "case": pack_form,
    "test_blade": test_blade,
}

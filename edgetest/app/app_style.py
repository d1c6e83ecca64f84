"""The app's look: one accent, targets for a gloved thumb, the same in light and dark."""

import streamlit as st

from edgetest.app import cards, menu
from edgetest.report.figures.plot_style import ACCENT

# The window's mark, a rule's ticks on the accent; a named symbol would be fetched from afar.
ICON = f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">
<rect width="32" height="32" rx="5" fill="{ACCENT}"/>
<path d="M6 6v18M12 6v10M18 6v18M24 6v10" stroke="#ffffff" stroke-width="3"/></svg>"""

CSS = """
<style>
/* Nothing that is tapped is smaller than 44 px either way. */
.stButton button, .stDownloadButton button, .stFormSubmitButton button,
[data-testid=stFileUploaderDropzone] button, [data-testid=stCameraInputButton],
[data-testid=stPopover] button, [data-testid=stBaseButton-headerNoPadding],
[data-testid=stMainMenu] button, [data-testid=stExpandSidebarButton],
[data-testid=stSidebarCollapseButton] button, [data-testid=stToolbar] button,
[data-testid=stBaseButton-elementToolbar] {
  min-height: 44px; min-width: 44px;
}
.stTextInput input, .stNumberInput input, .stNumberInput button, .stDateInput input,
.stSelectbox [role=group], .stSelectbox [role=combobox], .stMultiSelect [role=group],
.stMultiSelect [role=combobox], [data-baseweb=select] > div {
  min-height: 44px;
}
.stSelectbox button, .stMultiSelect button { min-width: 44px; min-height: 44px; }
.stNumberInput button { min-width: 44px; }
.stCheckbox label, .stRadio label, [data-testid=stSidebarNavLink],
[data-testid=stExpander] summary {
  min-height: 44px; align-items: center;
}
[role=slider] { min-width: 24px; min-height: 24px; }
/* A link that stands in a list of links is as high as its line. */
[data-testid=stMarkdownContainer] li a { padding-block: 2px; }
/* A thumb finds the mark of a help; headings need no link to themselves. */
[data-testid=stTooltipHoverTarget] button:not([data-testid^=stBaseButton]) {
  min-width: 24px; min-height: 24px; position: relative;
}
[data-testid=stTooltipHoverTarget] button:not([data-testid^=stBaseButton])::after {
  content: ""; position: absolute; inset: -10px;
}
[data-testid=stHeaderActionElements] { display: none; }
[data-testid=stFileUploaderDropzoneInstructions],
[data-testid=stFileUploaderDropzoneInstructions] * {
  white-space: normal; overflow: visible; text-overflow: clip;
}
/* White on the accent in both schemes; what is written on paper stays readable when disabled. */
[data-testid=stBaseButton-primary], [data-testid=stBaseButton-primaryFormSubmit] {
  background: #b5431a; border-color: #b5431a; color: #ffffff;
}
[data-testid=stWidgetLabel], [data-testid=stWidgetLabel] * { color: inherit; }
/* A grid's own way to a CSV would hand out what looks like a formula as one: the pages have
   buttons of theirs, whose cells are all texts (`downloads.py`). */
[data-testid=stElementToolbarButton]:has(button[aria-label^="Download as CSV"]) { display: none; }
/* A table of the guide keeps its numbers whole; where it is wider than the page, it alone is
   pushed sideways. */
[data-testid=stMarkdownContainer] :is(td, th) { overflow-wrap: break-word; min-width: 3.2rem; }
[data-testid=stMarkdownContainer] :is(td, th) code { overflow-wrap: anywhere; }
[data-testid=stMarkdownContainer] table { display: block; max-width: 100%; overflow-x: auto; }
[data-testid=stMarkdownPre] pre, .stCode pre, .stCode code {
  white-space: pre-wrap !important; overflow: visible !important; overflow-wrap: anywhere;
}
/* Words of a program or a file in the colour of all words: the usual tints are too faint. */
:is([data-testid=stMarkdownPre], .stCode) .token { color: inherit !important; }
/* The list of pages. */
[data-testid=stPageLink-NavLink] { min-height: 44px; padding: .3rem .6rem; }
[data-testid=stPageLink-NavLink][aria-current=page] p { font-weight: 700; }
.st-key-pages [data-testid=stCaptionContainer] { margin-top: .9rem; }
.st-key-pages [data-testid=stElementContainer], [data-testid=stPageLink-NavLink] { margin: 0; }
/* A menu that is out of sight is out of the keyboard's way too. */
[data-testid=stSidebar][data-collapsed=true] { visibility: hidden; }
/* What is opened is open at once: a box that still grows moves what a finger comes down on, and
   a press that comes up beside its button counts for nothing. */
[data-testid=stExpander] > details { height: auto !important; }
[data-testid=stExpanderDetails][inert] { display: none; }
/* The keyboard's place is always seen. */
:is(button, a, input, textarea, summary, [role=slider], [role=combobox], [tabindex]):focus-visible {
  outline: 3px solid currentColor; outline-offset: 2px;
}
.stMainBlockContainer { padding-top: 3.5rem; max-width: 76rem; }
[data-testid=stCaptionContainer] { opacity: 1; }
.stApp .stMain h1 { font-size: 1.9rem; }
.stApp .stMain h2 { font-size: 1.3rem; line-height: 1.35; padding: .6rem 0; }
.stApp .stMain h3 { font-size: 1.1rem; line-height: 1.35; padding: .5rem 0; }
@media (max-width: 1400px) {
  [data-testid=stSidebar][data-collapsed=false] { min-width: 13rem; width: 13rem !important; }
}
/* The three doors are alike, and their words stand where the thumb looks. */
[class*=st-key-door_] button { min-height: 4.6rem; }
[class*=st-key-door_] button p { font-weight: 600; }
/* The way on is seen at the end of a page. */
.st-key-next_link { border-top: 1px solid; padding-top: .6rem; margin-top: 1rem; }
.st-key-next_link p { font-weight: 600; }
[data-variant=pills] { min-height: 44px; }
/* The bench is read at arm's length. */
.stMain .st-key-bench_action h1 {
  font-size: clamp(1.6rem, 4.6vw, 2.6rem); line-height: 1.15; padding: 0 0 .6rem;
}
:is(.st-key-bench_two, .st-key-sort_two) [data-testid=stColumn] {
  min-width: min(20rem, 100%); flex: 1 1 20rem;
}
.st-key-bench_action { max-width: 60rem; gap: .8rem; }
.st-key-bench_awake { display: none; }
[class*=st-key-bench_mishaps] button p { font-size: .95rem; }
/* The undo's words may take two lines: what stands under it does not move then. */
@media (max-width: 640px) { .st-key-bench-undo button { min-height: 3.7rem; } }
/* One screen: while a picture is looked at, the way to bring one makes room for it. */
.st-key-bench_action:has([class*=st-key-bench_shot]) .st-key-bench_upload,
.st-key-bench_action:has([class*=st-key-bench_shot]) .st-key-bench_leave {
  display: none;
}
.st-key-bench_action { --shown-high: 34rem; }
@media (max-width: 1000px) { .st-key-bench_action { --shown-high: 15rem; } }
[class*=st-key-bench_shot] [data-testid=stImage] img {
  max-height: var(--shown-high); width: auto !important; max-width: 100%; margin: 0 auto;
}
[class*=st-key-bench_big] button { min-height: 5.2rem; }
[class*=st-key-bench_big] button p { font-size: 1.7rem; font-weight: 600; }
.st-key-sort_big button { min-height: 4.6rem; }
.st-key-sort_big button p { font-size: 1.35rem; font-weight: 600; }
[class*=st-key-sort_choice] [data-variant=segmented_control] { min-height: 48px; min-width: 4rem; }
[class*=st-key-bench_grades] button { min-height: 3.6rem; }
[class*=st-key-bench_grades] button p { font-size: 1.15rem; }
/* What to change of a shot is read from the microscope. */
[class*=st-key-bench_shot] [data-testid=stAlertContainer] p {
  font-size: 1.15rem; line-height: 1.35;
}
[class*=st-key-bench_shot] [data-testid=stAlertContainer] p strong {
  display: block; font-size: clamp(1.7rem, 4.4vw, 2.4rem); line-height: 1.15;
}
[class*=st-key-bench_past] [data-testid=stAlertContainer] p { font-size: 1.2rem; }
/* Under the mouse the accent's tint would leave its words a contrast of 4.1. */
[data-variant=segmented_control][data-selected=true]:hover { background: transparent !important; }
[data-variant=segmented_control] { min-height: 44px; }
/* A phone shows the narrow drawing of a figure. */
.figure-wide, .figure-narrow { width: 100%; height: auto; margin: 0 auto; }
.figure-wide { display: block; } .figure-narrow { display: none; }
@media (max-width: 640px) {
  .figure-wide { display: none; } .figure-narrow { display: block; }
}
@media (prefers-reduced-motion: reduce) { * { animation: none; transition: none; } }
</style>
"""


def put_on():
    """Put the look on a page; once a run, from the navigation."""
    st.html(CSS.replace("</style>", f"{cards.CARDS_CSS}</style>"))
    menu.watch()

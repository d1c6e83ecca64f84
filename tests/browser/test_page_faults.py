"""Each look at a page finds the fault that it is for, and nothing on a page without one."""

import pytest

from tests.browser.page_faults import (
    TARGET_PX,
    away,
    axe_findings,
    failed,
    geometry,
    lost_focus,
)

pytestmark = pytest.mark.browser
STYLE = "font: 16px sans-serif; margin: 0; padding: 8px; box-sizing: border-box;"
GOOD = """<main><h1>Heading</h1><p>Some words that wrap where the line ends.</p>
<button style="min-height:44px;min-width:80px">Press</button>
<details><summary style="min-height:44px">More</summary><p>Folded.</p></details>
<div style="overflow-x:auto;width:200px" tabindex="0">
<p style="width:600px">Scrolled on purpose</p></div>
<label style="display:inline-flex;min-height:44px;min-width:80px"><input type="checkbox">Yes</label>
<span style="position:absolute;width:1px;height:1px;overflow:hidden">for the ear</span></main>"""
DEFECTS = {
    "text is cut": [
        '<p style="width:80px;overflow:hidden;white-space:nowrap">A long line of many words</p>',
        '<p style="width:80px;overflow:hidden;white-space:nowrap;text-overflow:ellipsis">'
        "A long line of many words</p>",
        '<div style="height:20px;overflow:hidden"><p>One</p><p>Two</p><p>Three</p></div>',
        '<input style="width:60px" aria-label="x" placeholder="a long hint that has no room">',
    ],
    "things lie over each other": [
        '<p>Under</p><p style="margin-top:-28px">Over it</p>',
        '<button style="min-height:44px">A button</button>'
        '<button style="min-height:44px;margin-left:-40px">Another</button>',
    ],
    "the page scrolls sideways": ['<div style="width:900px">wide</div>'],
    "text lies beside the screen": [
        '<p style="position:absolute;left:380px;white-space:nowrap">beside the screen</p>'
    ],
    f"target under {TARGET_PX} px": ['<button style="height:20px;width:90px">Press</button>'],
}


@pytest.fixture(scope="module")
def blank(browser):
    page = browser.new_page(viewport={"width": 390, "height": 800})
    yield page
    page.close()


def shown(page, body):
    page.set_content(
        f"<!doctype html><html lang=en><title>t</title><body style='{STYLE}'>{body}</body></html>"
    )
    return page


@pytest.mark.parametrize(
    ("fault", "body"), [(fault, body) for fault, bodies in DEFECTS.items() for body in bodies]
)
def test_a_fault_of_the_layout_is_found(blank, fault, body):
    assert fault in [what for what, _ in geometry(shown(blank, body), target_px=TARGET_PX)]


def test_a_page_without_fault_is_left_alone(blank):
    page = shown(blank, GOOD)
    assert geometry(page, target_px=TARGET_PX) == []
    assert axe_findings(page) == []
    assert failed(page) == []


def test_a_fault_inside_a_component_is_found(blank):
    page = shown(blank, "<main><h1>x</h1><div id=host></div></main>")
    page.evaluate(
        "document.getElementById('host').attachShadow({mode: 'open'}).innerHTML = "
        "'<p style=\"width:60px;overflow:hidden;white-space:nowrap\">cut inside of it</p>'"
    )
    assert [what for what, _ in geometry(page)] == ["text is cut"]


@pytest.mark.parametrize(
    ("rule", "body"),
    [
        ("color-contrast", '<p style="color:#999">Grey on white</p>'),
        ("button-name", "<button></button>"),
        ("image-alt", '<img src="data:,">'),
        ("label", "<input>"),
    ],
)
def test_what_axe_finds_above_minor_is_told(blank, rule, body):
    page = shown(blank, f"<main><h1>x</h1>{body}</main>")
    assert f"axe: {rule}" in [what for what, _ in axe_findings(page)]


def test_contrast_alone_is_looked_at_where_it_is_named(blank):
    page = shown(blank, '<main><h1>x</h1><p style="color:#999">Grey</p><button></button></main>')
    assert {what for what, _ in axe_findings(page, rules=["color-contrast"])} == {
        "axe: color-contrast"
    }


def test_focus_that_went_with_its_button_is_lost(blank):
    page = shown(blank, "<button onclick='this.remove()'>Gone</button><button>Stays</button>")
    page.get_by_text("Stays").click()
    assert not lost_focus(page)
    page.get_by_text("Gone").click()
    assert lost_focus(page)


@pytest.mark.parametrize(
    "words", ["Traceback (most recent call last)", "was not foreseen", "Page not found"]
)
def test_a_page_that_failed_is_told(blank, words):
    assert failed(shown(blank, f"<p>{words}</p>"))


def test_an_address_elsewhere_is_known():
    assert away("https://fonts.example.com/x.woff2")
    assert not away("http://127.0.0.1:8501/static/x.js")

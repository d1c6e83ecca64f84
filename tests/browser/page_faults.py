"""What of a page cannot be read, tapped or found again by the keyboard?"""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe

TARGET_PX = 44  # a gloved thumb; the size of WCAG 2.2, 2.5.5
MINOR = ("minor", None)
_LOOK = Path(__file__).with_name("page_faults.js").read_text(encoding="utf-8")


def geometry(page, *, target_px=0):
    """Cut text, things over each other, sideways scroll, small targets: what, and where."""
    return [tuple(each) for each in page.evaluate(_LOOK, {"target": target_px})]


def serious(page):
    """Findings of axe that are serious or worse: rule and place."""
    return axe_findings(page, passed=(*MINOR, "moderate"))


def axe_findings(page, *, rules=None, passed=MINOR):
    """Findings of axe above minor; of some rules alone where they are named."""
    options = {"resultTypes": ["violations"]}
    if rules:
        options["runOnly"] = {"type": "rule", "values": list(rules)}
    return [
        (f"axe: {each['id']}", f"{node['target']} {node.get('failureSummary', '')[:240]}")
        for each in Axe().run(page, options=options).response["violations"]
        if each["impact"] not in passed
        for node in each["nodes"]
    ]


def lost_focus(page):
    """Whether the keyboard is nowhere on the page."""
    gone = page.evaluate(
        "() => !document.activeElement || document.activeElement.tagName === 'BODY'"
    )
    return [("focus is lost", page.title())] if gone else []


def failed(page):
    """A traceback, the sentence of a page that failed, or no page at all."""
    said = page.inner_text("body")
    words = ("Traceback", "not foreseen", "Page not found")
    return [("the page failed", word) for word in words if word in said] + [
        ("the page failed", "exception box")
    ] * page.locator("[data-testid=stException]").count()


def away(url):
    """Whether an address lies outside this machine."""
    return not url.startswith(("http://127.0.0.1", "ws://127.0.0.1", "data:", "blob:", "about:"))

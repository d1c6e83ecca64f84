"""Every page that menu and links lead to, looked at in every width and both schemes."""

import re
import time
from urllib.parse import urlsplit

from edgetest.app.taken_zips import PLACE as TAKEN_AWAY
from tests.browser.conftest import PATIENCE_MS, go, settle
from tests.browser.page_faults import (
    TARGET_PX,
    away,
    axe_findings,
    failed,
    geometry,
    lost_focus,
)

PHONE, TABLET, DESK, WIDE = 390, 820, 1280, 1920
WIDTHS = (PHONE, TABLET, DESK, WIDE)
HIGH_PX = 1180
LEAST_PX = 24  # WCAG 2.2, 2.5.8, level AA; of every page
GLOVED = "/bench"  # where everything is tapped with gloves on
MENU = "[data-testid=stSidebar] [data-testid=stPageLink-NavLink]"
CLOSED_MENU = "[data-testid=stSidebar][data-collapsed=true]"
OPEN_MENU = "[data-testid=stExpandSidebarButton]"
MAIN = "[data-testid=stMainBlockContainer]"
VIEWS = f"{MAIN} [data-testid=stButtonGroup] >> nth=0 >> button"
SLOW = "What is it for?"  # each choice works the verdict out anew
HREFS = "(links) => links.map((link) => link.getAttribute('href'))"


class Crawl:
    """Findings of a walk through the app: (page, width, scheme, what, where)."""

    def __init__(self, browser, server, study, widths=WIDTHS):
        self.page = browser.new_page(
            viewport={"width": PHONE, "height": HIGH_PX}, reduced_motion="reduce"
        )
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.on("request", self._asked)
        self.server, self.study, self.widths = server, study, widths
        self.found, self.visited, self.words = [], [], set()

    def _asked(self, request):
        if away(request.url):
            self._note("light", [("a request leaves the machine", request.url)])

    def _note(self, scheme, findings):
        place = urlsplit(self.page.url).path
        width = self.page.viewport_size["width"]
        self.found += [(self.study, place, width, scheme, *each) for each in findings]

    def walk(self, *, known=()):
        """Go to every page; those whose words were looked at before are not looked at again."""
        self.words |= set(known)
        go(self.page, self.server, f"?study={self.study}")
        self.page.add_style_tag(content="* { transition: none !important; }")
        todo = list(dict.fromkeys(self.page.eval_on_selector_all(MENU, HREFS)))
        while todo:
            href = todo.pop(0)
            path = _path(href)
            if path in self.visited:
                continue
            self.visited.append(path)
            self._open(href)
            inner = self.page.eval_on_selector_all(f"{MAIN} a[href]", HREFS)
            todo += [each for each in inner if self._ours(each)]
            self._look_at_views()
        self.page.close()
        return self.found

    def chapters(self, titles):
        """Pages of the guide by their titles."""
        go(self.page, self.server, f"guide?study={self.study}")
        box = self.page.get_by_role("combobox", name=re.compile("Page of the guide$"))
        for title in titles:
            box.fill(title)
            self.page.get_by_role("option", name=title, exact=True).click()
            self.page.get_by_role("heading", level=1, name=title, exact=True).wait_for()
            self._look_once()
        return self.found

    def doors(self, names):
        """What stands behind each door of the first page, before anything is typed."""
        for name in names:
            go(self.page, self.server, "")
            self.page.get_by_role("button", name=name).click()
            self.page.get_by_label("What you will know it by").wait_for()
            self._look_once()
        return self.found

    def uses(self):
        """The verdict's page for each use that a steel may be wanted for."""
        go(self.page, self.server, f"verdict?study={self.study}")
        uses = self.page.locator(VIEWS)
        for number in range(uses.count()):
            uses.nth(number).click()
            self.page.wait_for_timeout(300)
            self._look_once()
        return self.found

    def _look_once(self):
        self._rest()
        self.visited.append(self.page.url)
        self._look(whole=False)
        self._resize(PHONE)

    def _ours(self, href):
        """Whether a link leads to a page of the app: no place on this page, no download."""
        place = urlsplit(href)
        if href.startswith("#") or _path(href).startswith(f"{TAKEN_AWAY}/"):
            return False
        return place.netloc in ("", urlsplit(self.server.url).netloc)

    def _open(self, href):
        """By the menu on a phone, as a thumb would; by its address where the menu has it not."""
        link = self.page.locator(f'{MENU}[href="{href}"]')
        if not link.count():
            go(self.page, self.server, f"{urlsplit(href).path.lstrip('/')}?study={self.study}")
            return
        if self.page.locator(CLOSED_MENU).count():
            self.page.locator(OPEN_MENU).click()
        link.click()
        self.page.wait_for_timeout(150)
        self._rest()
        path = _path(href)
        self.page.wait_for_function("(path) => location.pathname === path", arg=path)
        self._rest()
        if self.page.locator("[data-testid=stSidebar][data-collapsed=false]").count():
            self._note("light", [("the menu stays over the page", path)])
        self._focus()

    def _rest(self):
        settle(self.page)
        self.page.wait_for_selector("h1")

    def _focus(self):
        """The keyboard's place, given a moment to be found after the page rests."""
        for _ in range(15):
            if not lost_focus(self.page):
                return
            self.page.wait_for_timeout(100)
        self._note("light", lost_focus(self.page))

    def _look_at_views(self):
        """The page, and again for each choice of its first row of choices."""
        new = self._new_words()
        if new:
            self._look(whole=True)
        views = self.page.locator(VIEWS)
        slow = self.page.locator(f"{MAIN} [data-testid=stButtonGroup] >> nth=0", has_text=SLOW)
        count = views.count() if new and not slow.count() else 0
        for number in range(count):
            self._resize(PHONE)
            if views.count() != count or views.nth(number).get_attribute("aria-checked") == "true":
                continue
            views.nth(number).click()
            self.page.wait_for_timeout(150)
            self._rest()
            self._focus()
            if self._new_words():
                self._look(whole=False)
        self._resize(PHONE)

    def _new_words(self):
        """Whether the page says what no page said before; its heading tells the study."""
        words = self.page.inner_text(MAIN).split("\n", 2)[-1]
        new = words not in self.words
        self.words.add(words)
        return new

    def _look(self, *, whole):
        """One page in all widths and both schemes."""
        self.page.evaluate(
            "document.querySelectorAll('details:not([open]) > summary').forEach((e) => e.click())"
        )
        self.page.wait_for_timeout(200)  # what is folded away may be drawn when it is opened
        self._rest()
        self._note("light", failed(self.page))
        target = TARGET_PX if urlsplit(self.page.url).path == GLOVED else LEAST_PX
        for width in self.widths if whole else (PHONE, DESK):
            self._resize(width)
            self._note("light", self._steady(target))
            if width == DESK:
                self._note("light", axe_findings(self.page, rules=None if whole else CONTRAST))
            elif width == PHONE:  # a table is cards there
                self._note("light", axe_findings(self.page, rules=CONTRAST))
            self._look_at_dark(target)

    def _look_at_dark(self, target):
        """Layout in the dark scheme, and its colours where the page is laid out otherwise."""
        self.page.emulate_media(color_scheme="dark")
        self.page.wait_for_timeout(150)
        self._note("dark", self._steady(target))
        if self.page.viewport_size["width"] in (PHONE, DESK):
            self._note("dark", axe_findings(self.page, rules=CONTRAST))
        self.page.emulate_media(color_scheme="light")

    def _steady(self, target):
        """Faults of the layout that stay: what is being unfolded is cut for a moment."""
        for _ in range(4):
            found = geometry(self.page, target_px=target)
            if not found:
                return []
            self.page.wait_for_timeout(500)
        return found

    def _resize(self, width):
        """Another width, with the menu beside the page where it has room."""
        if self.page.viewport_size["width"] == width:
            return
        self.page.set_viewport_size({"width": width, "height": HIGH_PX})
        self.page.wait_for_timeout(120)
        if width > PHONE and self.page.locator(CLOSED_MENU).count():
            self.page.locator(OPEN_MENU).click()
            self.page.wait_for_timeout(120)


def _path(href):
    """The path of a link; the first page's is bare."""
    return f"/{urlsplit(href).path.strip('/')}"


CONTRAST = ("color-contrast",)


def told(found):
    """A line for each finding, the same fault of one page in several widths together."""
    lines = {}
    for study, place, width, scheme, what, where in found:
        lines.setdefault((place, what, where), {}).setdefault((study, scheme), []).append(width)
    return [
        f"{place}: {what}: {where}  ["
        + "; ".join(f"{study} {scheme} {sorted(set(w))}" for (study, scheme), w in seen.items())
        + "]"
        for (place, what, where), seen in sorted(lines.items())
    ]


def timed(crawl, **kept):
    """Walk, and say how long it took."""
    begun = time.monotonic()
    found = crawl.walk(**kept)
    print(f"{crawl.study}: {len(crawl.visited)} pages, {time.monotonic() - begun:.0f} s")
    return found

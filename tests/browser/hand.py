"""A hand at the screen: it taps, types and picks files, and counts each as one tap."""

import re

from tests.browser.conftest import no_fault


class Hand:
    """Taps and keys on one page, counted; a number or a text typed is one, a file chosen is one.

    It waits until the page rests before it touches anything, and for what it is to touch.
    """

    def __init__(self, page):
        self.page, self.taps, self.told = page, 0, []

    def _count(self, what):
        self.taps += 1
        self.told.append(what)

    def rest(self):
        """Wait until the page is drawn; nobody waits for what is worked out beside it.

        No hand is back within a tenth of a second: what was touched has begun to work by then.
        """
        self.page.wait_for_timeout(120)
        self.page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]")
        self.page.wait_for_selector("[data-testid=stSkeleton]", state="detached")
        no_fault(self.page)

    def tap(self, name, *, role="button", nth=0, exact=True, within=None):
        """Touch what bears a name."""
        self.rest()
        place = (within or self.page).get_by_role(role, name=name, exact=exact).nth(nth)
        place.scroll_into_view_if_needed()
        place.tap()
        self._count(f"tap {name}")
        self.rest()

    def tap_words(self, words):
        """Touch words, such as those beside a ring or a switch."""
        self.rest()
        self.page.get_by_text(words, exact=True).first.tap()
        self._count(f"tap {words}")
        self.rest()

    def type(self, label, text, *, nth=0, enter=False, within=None):
        """Type into a field and leave it; Enter, where it is pressed, is a tap of its own."""
        self.rest()
        field = (within or self.page).get_by_label(label, exact=True).nth(nth)
        field.fill(text)
        self._count(f"type {text} into {label}")
        if enter:
            self._count("Enter")
        field.press("Enter" if enter else "Tab")
        self.rest()

    def choose(self, label, option, *, within=None):
        """Open a list and touch one of it: two taps. A list that a redraw closed is opened anew."""
        from playwright.sync_api import TimeoutError

        wanted = self.page.get_by_role("option", name=option, exact=True)
        for _ in range(5):
            self.rest()
            (within or self.page).get_by_role("combobox", name=re.compile(f"{label}$")).first.tap()
            try:
                wanted.tap(timeout=4000)
            except TimeoutError:
                self.page.keyboard.press("Escape")
            else:
                break
        self._count(f"open the list {label}")
        self._count(f"choose {option}")
        self.rest()

    def upload(self, file, *, nth=0):
        """Choose a file where a photograph is asked for."""
        self.rest()
        self.page.locator("input[type=file]").nth(nth).set_input_files(file)
        self._count("choose a photograph")
        self.rest()

    def sees(self, words):
        """Wait until the page says something."""
        self.page.get_by_text(words).first.wait_for()
        self.rest()

    def stands_at(self, heading):
        """Wait until a page with this first heading is open."""
        self.page.get_by_role("heading", level=1, name=heading).first.wait_for()
        self.rest()

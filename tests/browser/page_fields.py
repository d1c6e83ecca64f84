"""Which fields of a page take what a person types, and what stands in them? For tests.

They are found on the page itself, behind every fold, switch and tab of it, so that a field that
is new is there without anybody's naming it.
"""

from tests.browser.conftest import settle

# What is typed by hand: neither a list to choose from nor a file, nor the table's own search box.
FIELDS = """() => {
  const main = document.querySelector('[data-testid=stMain]'), seen = {};
  main.querySelectorAll('[data-typed]').forEach(one => delete one.dataset.typed);
  return [...main.querySelectorAll('input, textarea')].filter(one =>
      ['text', 'number', 'search', 'textarea', 'tel', 'email', 'url'].includes(one.type) &&
      one.getAttribute('role') !== 'combobox' && !one.disabled && !one.readOnly &&
      !one.closest('[data-testid=stDataFrame]') && one.getClientRects().length).map(one => {
    const label = one.getAttribute('aria-label') || (one.labels[0] || {}).innerText || '';
    const keyed = one.closest('[class*=st-key-]');
    const key = keyed ? [...keyed.classList].find(each => each.startsWith('st-key-')) : '';
    const nth = seen[key + label] = (seen[key + label] ?? -1) + 1;
    one.dataset.typed = `${label} ${nth} ${key}`;
    return [one.dataset.typed, one.value];
  });
}"""
# Tabs of a page are choices that are kept; what belongs to a form is not pressed.
GROUPS = "[data-testid=stMain] [class*=st-key-kept][class*=-choice-] [data-testid=stButtonGroup]"
TABS = f"""() => [...document.querySelectorAll('{GROUPS}')]
  .map(group => [...group.querySelectorAll('button')].map(one => one.innerText.trim()))"""
STEADY_MS = 120  # what is worked out beside a page draws it anew when it is there
FOLDS = "[data-testid=stMain] [data-testid=stExpander] details:not([open]) > summary"
# Those that are seen: a grid's cards are hidden on a desk.
SWITCHES = "[data-testid=stMain] .stCheckbox:has(input:not(:checked):not(:disabled)) label:visible"


def steady(page):
    """The tabs of a page, once they and its fields stay the same for a while."""
    seen = None
    for _ in range(60):
        page.wait_for_timeout(STEADY_MS)  # a press is on its way for a moment
        settle(page)
        now = page.evaluate(TABS), sorted(standing(page))
        if now == seen:
            break
        seen = now
    return now[0]


def opened_whole(page):
    """Open every fold of a page and turn on every switch; more may come behind them."""
    for places in (FOLDS, SWITCHES, FOLDS):
        for _ in range(40):
            closed = page.locator(places)
            if closed.count() == 0:
                break
            closed.first.click()
            steady(page)


def views(page):
    """Go through the tabs of a page, everything opened in each."""
    tabs = steady(page)
    for group in range(len(tabs)):
        _press(page, group, tabs[group][0])
    opened_whole(page)
    yield
    for group, options in enumerate(tabs):
        for option in options[1:]:
            if not _press(page, group, option):
                break
            opened_whole(page)
            yield
        _press(page, group, options[0])


def _press(page, group, option):
    """Press one tab; False where its group is no longer there."""
    groups = page.locator(GROUPS)
    if group >= groups.count():
        return False
    tab = groups.nth(group).get_by_role("radio", name=option, exact=True)
    if tab.count() == 0:
        return False
    if tab.get_attribute("aria-checked") != "true":
        tab.click()
        steady(page)
    return True


def type_everywhere(page, *, but=None):
    """Type something of its own into every field of every view; by field, what stands there."""
    typed = {}
    for _ in views(page):
        for name in standing(page):
            left_out = but is not None and but in name
            # Not gone with what was typed before.
            if name not in typed and not left_out and name in standing(page):
                typed[name] = _type(page, name, str(40 + len(typed)))
        settle(page)
    return typed


def _type(page, name, text):
    """A number goes up by a step; all else is written over."""
    field = page.locator(f'[data-typed="{name}"]')
    if field.get_attribute("type") == "number":
        field.press("ArrowUp")
        text = field.input_value()
    else:
        field.fill(text)
    page.keyboard.press("Tab")
    page.wait_for_timeout(50)
    page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]")
    return text


def standing(page):
    """By field, what stands in it now."""
    return dict(page.evaluate(FIELDS))


def standing_everywhere(page):
    """By field of every view, what stands in it."""
    return {name: says for _ in views(page) for name, says in standing(page).items()}

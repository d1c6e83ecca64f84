"""What a person does at the bench page, and what a gloved hand can reach on it."""

from tests.browser.conftest import settle


def said(page, words):
    """Wait until the page calls out an action."""
    page.get_by_role("heading", level=1, name=words).wait_for()
    settle(page)


def tap(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def number_field(page):
    """The field of the one number that is asked for now."""
    return page.locator(".pad input")


def type_number(page, label, says):
    """Type a number by keyboard into the field that must stand there, and press Enter."""
    field = page.get_by_label(label)
    field.fill(says)
    field.press("Enter")


def picture(name, data):
    return {"name": name, "mimeType": "image/png", "buffer": data}


def small_targets(page):
    """Everything on the page that is tapped and is smaller than 44 px either way."""
    return page.evaluate(
        """() => {
          const tapped = 'button, a[href], input:not([type=hidden]), summary, [role=combobox]';
          const small = [];
          const all = [document, ...[...document.querySelectorAll('*')]
            .filter((each) => each.shadowRoot).map((each) => each.shadowRoot)];
          for (const each of all.flatMap((root) => [...root.querySelectorAll(tapped)])) {
            if (each.closest('[aria-hidden=true], [inert]')) continue;
            const own = each.getBoundingClientRect();
            if (own.width < 2 || own.height < 2 || getComputedStyle(each).opacity === '0') continue;
            const label = each.closest('label, [data-baseweb=select]');
            const box = (label || each).getBoundingClientRect();
            if (box.right < 0 || box.bottom < 0) continue;
            if (Math.round(box.width) < 44 || Math.round(box.height) < 44)
              small.push(each.tagName + ' ' + (each.innerText || each.ariaLabel || each.type)
                + ` ${Math.round(box.width)}x${Math.round(box.height)}`);
          }
          return small;
        }"""
    )


def wider_than_the_page(page):
    """Pixels that a person would have to scroll sideways."""
    return page.evaluate(
        "() => { const m = document.querySelector('[data-testid=stMain]');"
        " return m.scrollWidth - m.clientWidth }"
    )

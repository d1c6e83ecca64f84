"""A cell of a grid is typed into as a person does it: the first letter opens its field."""

FIELD = "#portal input, #portal textarea"


def type_in_cell(page, text):
    """Type into the cell that is chosen; what is typed before its field is there would be lost."""
    page.keyboard.press(text[0])
    page.locator(FIELD).first.wait_for()
    page.wait_for_function(
        "(at) => document.activeElement && document.activeElement.matches(at)", arg=FIELD
    )
    page.keyboard.type(text[1:], delay=60)

"""The guide in the app: contents by kind, a page by its address, links that stay in the window."""

import re

from edgetest.store.guide_pages import KINDS, guide_pages
from tests.app.test_navigation_pages import page


def shown(run):
    assert not run.exception
    return "\n".join(element.value for element in run.markdown)


def test_the_contents_list_every_page_but_the_tables_under_its_kind():
    run = page("guide").run()
    text = shown(run)
    pages = [each for each in guide_pages().values() if each.kind != "tables"]
    assert text.count("<a href=") == len(pages)
    kinds = {KINDS[each.kind] for each in pages}
    assert {element.value for element in run.header} == kinds


def test_an_address_opens_its_page_and_links_keep_the_rest_of_it():
    run = page("guide")
    run.query_params["page"] = "start/borders"
    run.query_params["study"] = "my_study"
    text = shown(run.run())
    assert run.selectbox[0].value == "start/borders"
    links = re.findall(r'<a href="([^"]*)" target="_self">', text)
    assert "?page=how_to%2Fhelp_us_check&amp;study=my_study" in links
    assert "](../" not in text


def test_a_page_that_is_chosen_stands_in_the_address_and_a_table_can_be_opened():
    run = page("guide").run()
    run.selectbox[0].select("how_to/help_us_check").run()
    assert run.query_params["page"] == "how_to/help_us_check"
    run.selectbox[0].select("").run()
    assert "page" not in run.query_params
    run = page("guide")
    run.query_params["page"] = "tables/order_table"
    text = shown(run.run())
    assert text.startswith("# ")
    assert "command:" not in text


def test_an_unknown_page_is_the_contents():
    run = page("guide")
    run.query_params["page"] = "../../etc"
    assert "<a href=" in shown(run.run())
    assert run.selectbox[0].value == ""


def test_a_question_leads_to_the_place_where_the_answer_stands():
    run = page("guide").run()
    run.text_input(key="guide.search").set_value("control <blade>").run()
    text = shown(run)
    address, words = re.search(r'<a href="([^"]*)" target="_self">([^<]*)</a>', text).groups()
    assert address == "?page=how_to%2Fshare_rolls_and_batches#a-control-blade"
    assert words == "Share rolls, control blades and batches, A control blade"
    run.text_input(key="guide.search").set_value("roep").run()
    (told,) = run.info
    assert "Did you mean “rope”?" in told.value

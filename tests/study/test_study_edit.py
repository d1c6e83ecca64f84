"""Facts of study.toml from two pages at once: both kept, or the later one refused."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.store.scale_rules import ScaleRule
from edgetest.study.study_edit import put_document_wishes, put_scale, shown_wishes
from tests.browser.studies import bench_study


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path)


def test_wishes_of_two_devices_are_both_kept(folder):
    shown = shown_wishes(load_study(folder))
    put_document_wishes(folder, shown, {"customer": "The parish", "maker": "Wayland"})
    put_document_wishes(folder, shown, {"paper": "us-letter"})  # drawn before the other was saved
    study = load_study(folder)
    assert study.document == {"customer": "The parish", "paper": "us-letter"}
    assert study.maker == "Wayland"


def test_the_same_wish_changed_twice_is_refused_with_both_versions(folder):
    shown = shown_wishes(load_study(folder))
    put_document_wishes(folder, shown, {"customer": "The parish"})
    with pytest.raises(UnusableInput) as told:
        put_document_wishes(folder, shown, {"customer": "The county", "note": "by hand"})
    assert told.value.what == 'customer is now "The parish", not "The county"'
    assert load_study(folder).document == {"customer": "The parish"}
    put_document_wishes(
        folder, shown, {"customer": "The parish"}
    )  # the same from both is no quarrel


def test_a_wish_that_is_blanked_goes(folder):
    put_document_wishes(folder, shown_wishes(load_study(folder)), {"note": "by hand"})
    put_document_wishes(folder, shown_wishes(load_study(folder)), {"note": ""})
    assert load_study(folder).document is None


@pytest.mark.parametrize("name", ["", "x40"])
def test_a_scale_that_another_device_has_set_is_not_overwritten(folder, name):
    def there():
        study = load_study(folder)
        return study.scales.get(name) if name else study.scale

    shown = there()
    put_scale(folder, name, ScaleRule(um_per_px=0.5, note="calibration zoom 4"), was=shown)
    with pytest.raises(UnusableInput) as told:
        put_scale(folder, name, ScaleRule(um_per_px=0.7), was=shown)
    was = "0.42 µm per pixel" if not name else "none"
    assert told.value.what == (f"the scale is now 0.5 µm per pixel (calibration zoom 4), not {was}")
    assert there().um_per_px == 0.5
    put_scale(folder, name, ScaleRule(um_per_px=0.7), was=there())
    assert there().um_per_px == 0.7

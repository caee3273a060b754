"""The file of drives keeps no place of a customer whose personal data were taken out."""

import datetime as dt

import numpy as np
import pytest

from customers.models import Home
from front.actions.forgetting import forget
from front.actions.personal import take_out_personal_data
from scheduling import road_cache
from scheduling.road_cache import KnownDrives, forget_drives_of
from tests import cast, factories

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
HERS, NEIGHBOR, SHOP = (43.2967, -87.9876), (43.3197, -87.9534), (43.2360, -87.9841)


@pytest.fixture
def file(settings, tmp_path):
    """Drives of one to five minutes between three places, as a plan left them."""
    settings.ROAD_CACHE = str(tmp_path)
    minutes = np.arange(9, dtype=np.float32).reshape(3, 3)
    path = tmp_path / "cedarburg-server.npz"
    road_cache._write(path, KnownDrives((HERS, NEIGHBOR, SHOP), minutes))
    return path


def lives_at(home: Home, point: tuple[float, float]) -> Home:
    home.latitude, home.longitude, home.precision = *point, "exact"
    home.save()
    return home


def kept(file) -> KnownDrives:
    return road_cache._read(file)


def test_the_drives_of_the_others_stay_as_they_were(file):
    assert forget_drives_of({HERS}) == 1
    assert kept(file).points == (NEIGHBOR, SHOP)
    assert kept(file).minutes.tolist() == [[4, 5], [7, 8]]


def test_a_file_can_become_empty_and_is_asked_for_again(file):
    assert forget_drives_of({HERS, NEIGHBOR, SHOP}) == 3
    assert kept(file).points == ()


def test_a_place_nobody_asked_about_and_a_file_that_is_broken_change_nothing(file):
    before = file.read_bytes()
    (file.parent / "broken.npz").write_bytes(b"cut short")
    assert forget_drives_of({(1.0, 2.0)}) == 0
    assert file.read_bytes() == before


def test_taking_out_a_customer_takes_her_home_out(file, django_capture_on_commit_callbacks):
    home = lives_at(cast.noras_home(), HERS)
    with django_capture_on_commit_callbacks(execute=True):
        take_out_personal_data(customer=home.customer, by=cast.walter(), today=NOW.date(), now=NOW)
    assert kept(file).points == (NEIGHBOR, SHOP)


def test_the_night_takes_out_where_nobody_lives_any_more(file):
    lives_at(cast.noras_home(), NEIGHBOR)
    technician = cast.ingrid()
    technician.latitude, technician.longitude = SHOP
    technician.save()
    factories.HomeFactory()
    assert forget(kept_days={}, now=NOW)["drives"] == 1
    assert kept(file).points == (NEIGHBOR, SHOP)

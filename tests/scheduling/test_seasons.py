"""Opening a season gathers what is owed in it, once."""

import datetime as dt

import pytest
from django.core.exceptions import ValidationError

from agreements.actions import make_agreement
from agreements.models import Agreement
from scheduling.actions.seasons import gather_visits, open_season
from scheduling.models import Visit
from tests import cast

pytestmark = pytest.mark.django_db
SPRING = {"starts_on": dt.date(2027, 4, 5), "ends_on": dt.date(2027, 6, 19)}


def agreement_of_nora(starts_on: dt.date, **more: object) -> Agreement:
    home = cast.noras_home()
    return make_agreement(
        home=home, plan=cast.spring_check(), starts_on=starts_on, systems=home.systems.all(), **more
    )


def test_it_gathers_the_visits_owed_in_its_days():
    agreement_of_nora(dt.date(2026, 9, 1))
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert [visit.owed_visit.due_from for visit in season.visits.all()] == [dt.date(2027, 3, 1)]


def test_gathering_again_adds_nothing():
    agreement_of_nora(dt.date(2026, 9, 1))
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert (gather_visits(season=season), Visit.objects.count()) == (0, 1)


def test_an_agreement_that_renews_in_spring_has_its_next_check_in_the_season():
    agreement = agreement_of_nora(dt.date(2026, 4, 20))
    agreement.owed_visits.update(closed="done", closed_on=dt.date(2026, 5, 20))
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert [v.owed_visit.due_from for v in season.visits.all()] == [dt.date(2027, 4, 20)]


def test_an_agreement_that_does_not_renew_owes_nothing_after_its_end():
    agreement = agreement_of_nora(dt.date(2026, 4, 20), renews=False)
    agreement.owed_visits.update(closed="done", closed_on=dt.date(2026, 5, 20))
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert not season.visits.exists()


def test_another_branch_gathers_nothing_of_ours():
    agreement_of_nora(dt.date(2026, 9, 1))
    assert not open_season(branch=cast.sheboygan(), name="Spring", **SPRING).visits.exists()


def test_a_season_that_ends_before_it_begins_is_refused():
    with pytest.raises(ValidationError) as refusal:
        open_season(
            branch=cast.cedarburg(),
            name="Backwards",
            starts_on=dt.date(2027, 6, 1),
            ends_on=dt.date(2027, 4, 1),
        )
    assert refusal.value.message_dict == {"ends_on": ["The season ends before it begins."]}


def test_an_overdue_check_comes_along_with_others_of_its_kind():
    agreement_of_nora(dt.date(2026, 9, 1))
    late = agreement_of_nora(dt.date(2026, 2, 1), renews=False).owed_visits.get()
    late.due_until = dt.date(2027, 3, 1)
    late.save()
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert late.pk in season.visits.values_list("owed_visit", flat=True)


def test_last_autumns_heating_check_does_not_come_into_spring():
    agreement_of_nora(dt.date(2026, 9, 1))
    late = agreement_of_nora(dt.date(2026, 2, 1), renews=False).owed_visits.get()
    late.kind, late.due_until = "heating", dt.date(2026, 11, 30)
    late.save()
    season = open_season(branch=cast.cedarburg(), name="Spring 2027", **SPRING)
    assert late.pk not in season.visits.values_list("owed_visit", flat=True)

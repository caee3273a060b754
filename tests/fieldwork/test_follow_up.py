"""Recommended repairs until each is settled."""

import pytest
import time_machine
from django.urls import reverse

from fieldwork.actions.follow_up import NEXT, FollowUpRefused, follow_up
from fieldwork.announcements import dangers_untold, send_report
from fieldwork.models import Recommendation, RecommendationState
from front.today import gather
from tests import cast
from tests.fieldwork.reported import DONE, alarmed, finished

pytestmark = pytest.mark.django_db
PAGE = reverse("fieldwork:follow-up")


def recommended() -> Recommendation:
    finished(recommended="New contactor")
    return Recommendation.objects.get()


def press(user, row, state, was="open"):
    address = reverse("fieldwork:settle-follow-up", args=[row.pk])
    return cast.signed_in(user).post(address, {"state": state, "was": was}, follow=True)


def test_the_office_sees_what_was_recommended_where_and_by_whom():
    row = recommended()
    page = cast.signed_in(cast.odile()).get(PAGE).text
    assert "New contactor" in page
    assert row.record.visit.owed_visit.home.customer.name in page
    assert "Ingrid Solberg" in page


def test_each_state_has_its_own_list_with_its_count():
    recommended()
    page = cast.signed_in(cast.odile()).get(PAGE, {"state": "done"}).text
    assert "New contactor" not in page
    assert 'Open <span class="tabs__count">1</span>' in page


def test_the_office_notes_that_the_customer_agrees():
    row = recommended()
    page = press(cast.odile(), row, "agreed").text
    row.refresh_from_db()
    assert row.state == RecommendationState.AGREED
    assert "New contactor: customer agrees." in page


def test_what_somebody_else_settled_meanwhile_is_not_overwritten():
    row = recommended()
    press(cast.odile(), row, "declined")
    page = press(cast.odile(), row, "agreed", was="open").text
    row.refresh_from_db()
    assert row.state == RecommendationState.DECLINED
    assert "Somebody else has changed it" in page


def test_what_is_done_stays_done():
    row = recommended()
    press(cast.odile(), row, "done")
    row.refresh_from_db()
    with pytest.raises(FollowUpRefused, match="not possible"):
        follow_up(recommendation=row, state="open", now=DONE)


def test_every_state_says_what_may_follow():
    assert NEXT.keys() == set(RecommendationState)


@pytest.mark.parametrize("state", ["", "sold", "open"])
def test_another_word_for_a_state_is_refused(state):
    row = recommended()
    assert "not possible" in press(cast.odile(), row, state).text


def test_a_danger_that_nobody_has_told_stands_on_top_until_its_report_is_sent():
    record = alarmed(finished())
    (waiting,) = dangers_untold(cast.cedarburg(), record.day)
    assert waiting == record
    send_report(record=record, now=DONE)
    assert dangers_untold(cast.cedarburg(), record.day) == []


def test_a_danger_waits_on_the_list_and_among_todays_decisions():
    record = alarmed(finished())
    with time_machine.travel(DONE):
        page = cast.signed_in(cast.odile()).get(PAGE).text
        assert "Dangerous, and the report is not sent" in page
        (first, *_) = gather(cast.cedarburg(), record.day).decisions
    assert (first.count, first.words) == (1, "dangerous finding not reported")


def test_a_repair_to_tell_of_is_among_todays_decisions():
    row = recommended()
    words = [one.words for one in gather(cast.cedarburg(), row.record.day).decisions]
    assert "recommended repair to tell customers of" in words


def test_nothing_to_follow_says_what_brings_something():
    cast.cedarburg()
    assert "Nothing here" in cast.signed_in(cast.odile()).get(PAGE).text


def test_a_technician_and_another_branch_have_no_say():
    row = recommended()
    assert cast.signed_in(cast.ingrid().user).get(PAGE).status_code == 404
    assert press(cast.priya(), row, "agreed").status_code == 404
    assert "New contactor" not in cast.signed_in(cast.priya()).get(PAGE).text


def test_a_look_settles_nothing():
    row = recommended()
    address = reverse("fieldwork:settle-follow-up", args=[row.pk])
    assert cast.signed_in(cast.odile()).get(address).status_code == 405
    assert cast.signed_in(cast.odile()).post(PAGE).status_code == 405


def test_it_costs_the_same_few_queries_however_long_the_list(django_assert_max_num_queries):
    for _ in range(3):
        finished(recommended="New contactor")
    office = cast.signed_in(cast.odile())
    with django_assert_max_num_queries(8):
        office.get(PAGE)

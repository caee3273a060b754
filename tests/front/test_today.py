"""What needs a decision today, and what is missing before anything can be planned."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from agreements.actions import make_agreement, renew_agreement
from agreements.actions.paying import record_payment
from agreements.models import SpreadsheetImport
from front.models import Backup
from front.today import gather
from scheduling.actions.seasons import gather_visits
from scheduling.models import RunState, SeasonRun, State, Visit, What
from tests import cast, factories
from weather.actions import claim_asking, note_trouble, set_climate
from weather.demonstration import demonstration_climate

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
TODAY = reverse("front:today")
APRIL = dt.date(2027, 4, 1)
FREE = Decimal(0)  # asks for no payment, so none of these stories is about money


@pytest.fixture
def _in_april():
    with time_machine.travel(dt.datetime(2027, 4, 1, 12, tzinfo=dt.UTC)):
        yield


def decisions() -> list[str]:
    found = gather(cast.cedarburg(), APRIL).decisions
    return [f"{decision.count} {decision.words}" for decision in found]


def steps() -> list[str]:
    return [step.title for step in gather(cast.cedarburg(), APRIL).steps]


def agreed(starts_on: dt.date = cast.FIRST_DAY, price: Decimal = FREE):
    home = factories.HomeFactory(customer__branch=cast.cedarburg())
    return make_agreement(home=home, plan=cast.spring_check(), starts_on=starts_on, price=price)


def a_season_with(count: int):
    for _ in range(count):
        agreed()
    season = factories.SeasonFactory(branch=cast.cedarburg())
    gather_visits(season=season)
    return season


def test_payments_that_are_overdue_are_counted_with_their_sum():
    first, second = agreed(price=Decimal(149)), agreed(price=Decimal(89))
    agreed(APRIL, price=Decimal(149))  # due today, so not overdue
    record_payment(agreement=first, amount=Decimal(100), on=APRIL, how="cash", by=cast.odile())

    assert "2 agreements have overdue payments, $138.00 in all" in decisions()
    record_payment(agreement=second, amount=Decimal(89), on=APRIL, how="cash", by=cast.odile())
    assert "1 agreement has an overdue payment, $49.00 in all" in decisions()


def test_an_empty_shop_is_led_step_by_step():
    assert steps() == ["No homes yet", "No technician yet", "No climate yet", "No season yet"]


def test_a_shop_that_is_set_up_has_no_more_steps():
    factories.ShiftFactory(technician=cast.ingrid())
    set_climate(branch=cast.cedarburg(), climate=demonstration_climate(), now=timezone.now())
    a_season_with(1)

    assert steps() == []


def test_a_technician_without_working_hours_is_named():
    cast.ingrid()

    step = next(step for step in gather(cast.cedarburg(), APRIL).steps if "shifts" in step.title)

    assert "Ingrid Solberg" in step.words


def test_nothing_to_decide_says_so():
    factories.ShiftFactory(technician=cast.ingrid())
    set_climate(branch=cast.cedarburg(), climate=demonstration_climate(), now=timezone.now())
    season = a_season_with(1)
    Visit.objects.filter(season=season).update(state=State.WAIVED)

    page = cast.signed_in(cast.odile()).get(TODAY)

    assert "Nothing waits for a decision" in page.text


def test_visits_without_a_slot_are_counted_by_what_stands_in_the_way():
    season = a_season_with(3)
    Visit.objects.filter(pk=season.visits.first().pk).update(why="no technician has the skill")

    (decision,) = gather(cast.cedarburg(), APRIL).decisions

    assert (decision.count, decision.words) == (3, "visits of Spring 2027 without a slot")
    assert decision.reasons == ("2: not planned yet", "1: no technician has the skill")


def test_held_checks_say_since_when_the_longest_waits():
    for visit, day in zip(a_season_with(2).visits.all(), (3, 9), strict=True):
        since = dt.datetime(2027, 3, day, 12, tzinfo=dt.UTC)
        Visit.objects.filter(pk=visit.pk).update(
            state=State.HELD, held_since=since, why="cold", release="a warm day"
        )

    assert decisions() == [
        "2 cooling checks of Spring 2027 held for warmth, the longest since March 3"
    ]


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (RunState.READY, "1 plan of Spring 2027 is ready to look at"),
        (RunState.RUNNING, "1 plan of Spring 2027 is being made"),
        (RunState.WAITING, "1 plan of Spring 2027 waits for a worker"),
    ],
)
def test_a_plan_that_is_ready_or_under_way_comes_first(state, words):
    season, now = a_season_with(1), timezone.now()
    SeasonRun.objects.create(season=season, state=state, asked_at=now, heard_at=now)

    assert decisions()[0] == words


def test_several_plans_to_look_at_are_one_line_that_leads_to_the_plan_room():
    season, now = a_season_with(1), timezone.now()
    for _ in range(3):
        SeasonRun.objects.create(
            season=season, state=RunState.READY, asked_at=now, heard_at=now, ended_at=now
        )

    line, *_ = gather(cast.cedarburg(), APRIL).decisions
    assert (line.count, line.words) == (3, "plans of Spring 2027 are ready to look at")
    assert line.url == f"/season/{season.pk}/plans/"


def test_owed_visits_outside_any_season_are_counted_when_they_are_due_soon():
    agreed()
    agreed(dt.date(2028, 1, 1))

    assert decisions() == ["1 owed visit due by July 30 in no season"]


def test_visits_that_no_season_gathers_any_more_are_not_forgotten():
    agreed(dt.date(2025, 1, 1))

    assert decisions() == ["1 visit overdue for more than 180 days"]


def test_a_home_without_a_place_cannot_be_planned():
    factories.HomeFactory(nowhere=True, customer=cast.nora())

    assert decisions() == ["1 home without a known place, so no visit can be planned"]


def test_agreements_that_end_soon_are_counted_until_they_are_renewed():
    agreed(dt.date(2026, 5, 1))
    renew_agreement(agreement=agreed(dt.date(2026, 5, 1)))

    assert "1 agreement ends within 45 days" in decisions()


def test_a_technician_is_sent_to_her_own_day():
    page = cast.signed_in(cast.ingrid().user).get(TODAY)

    assert page.url == reverse("fieldwork:my-day")


def test_a_promise_that_turned_too_cold_leads_to_the_watch():
    visit = a_season_with(1).visits.get()
    repair = visit.season.repairs.create(made_at=timezone.now(), source="climate")
    repair.steps.create(visit=visit, version=0, what=What.HOLD, why="Too cold")
    assert "1 promise turned too cold" in decisions()


def test_another_branch_decides_nothing_here():
    a_season_with(1)

    assert gather(cast.sheboygan(), APRIL).decisions == ()


def test_without_any_branch_it_says_what_to_do():
    page = cast.signed_in(cast.walter()).get(TODAY).text
    assert "No branch yet" in page
    assert 'aria-label="Rooms"' not in page  # each of them would lead nowhere


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(TODAY).url.startswith(reverse("front:sign-in"))


def test_it_is_only_looked_at():
    assert cast.signed_in(cast.odile()).post(TODAY).status_code == 405


def test_a_busy_day_costs_no_more_queries_than_a_quiet_one(django_assert_num_queries):
    a_season_with(40)
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; dangers, phones, recommended repairs, no-starts, plans, waiting,
    # outside any season, places, letters and bad addresses, overdue, ending, imports;
    # homes, people, climate, season; how the forecast service does, the last forecast.
    with django_assert_num_queries(25):
        assert browser.get(TODAY).status_code == 200


def test_a_sheet_that_was_not_brought_in_is_named():
    SpreadsheetImport.objects.create(
        branch=cast.cedarburg(), file_name="homes.csv", content=b"name", created_by=cast.odile()
    )

    (decision,) = gather(cast.cedarburg(), APRIL).decisions

    assert (decision.words, decision.reasons) == ("sheet not brought in yet", ("homes.csv",))


def test_it_tells_how_old_the_last_good_backup_is():
    assert gather(cast.cedarburg(), APRIL).backup == "There is no backup yet."
    made_at = dt.datetime(2027, 4, 5, 9, tzinfo=dt.UTC)
    Backup.objects.create(made_at=made_at, file="a.age", verified_at=made_at)
    Backup.objects.create(made_at=made_at + dt.timedelta(days=1), file="b", trouble="disk full")
    assert gather(cast.cedarburg(), APRIL).backup == (
        "The last good backup was made on April 5, 2027 and proven on April 5. "
        "A later one failed: disk full"
    )


def test_it_says_since_when_the_forecast_service_is_broken_and_what_happens_meanwhile(settings):
    settings.FORECAST_SOURCE = "nws"
    place = claim_asking(branch=cast.cedarburg(), source="nws", now=timezone.now())
    words = "National Weather Service cannot be reached."
    note_trouble(place=place, trouble=words, now=timezone.now())

    page = cast.signed_in(cast.odile()).get(TODAY).content.decode().replace("\xa0", " ")

    assert "No new forecast since Thu, Apr 1, 7:00 AM" in page
    assert words in page
    assert "the climate alone speaks" in page

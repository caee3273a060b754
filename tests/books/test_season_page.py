"""The season's books: figures beside last season's, the lists behind them, files and paper."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from books.models import SeasonTally
from books.season_books import before, books_of
from tests import cast
from tests.books import books

pytestmark = pytest.mark.django_db
MAY = dt.date(2027, 5, 18)


@pytest.fixture(autouse=True)
def _in_june():
    cast.letterhead()
    with time_machine.travel(books.NOW, tick=False):
        yield


def a_spring(year=2027):
    """Six visits: warm, provisional, done without readings, lost to cold, waived, owed."""
    season, day = books.season(year), dt.date(year, 5, 18)
    for number, test in enumerate(("warm", "provisional", "")):
        books.done(books.owed(season), day, test, hour=10 + number)
    books.lost_to_cold(books.owed(season), day - 7 * books.A_DAY)
    books.waived(books.owed(season))
    books.owed(season)
    books.read(season)
    return season


def page(season, who=cast.odile, view="season", *args):
    return cast.signed_in(who()).get(reverse(f"books:{view}", args=[season.pk, *args]))


def test_every_visit_stands_in_one_part_of_the_checks():
    counts = books_of(a_spring()).counts
    parts = ("warm", "provisional", "no-readings", "no-warmth", "waived", "still-owed")
    assert [counts[part] for part in parts] == [1, 1, 1, 0, 1, 2]
    assert sum(counts[part] for part in parts) == counts["owed"] == 6


def test_each_number_is_as_long_as_its_list():
    season = a_spring()
    counts = books_of(season).counts
    for key, count in counts.items():
        answer = page(season, cast.odile, "list", key)
        assert answer.context["page"].paginator.count == count
        assert answer.status_code == 200


def test_the_page_tells_first_seasons_that_there_is_nothing_to_compare():
    words = page(a_spring()).content.decode()
    assert "first season on file" in words
    assert "1 trip lost to cold" in words


def test_it_compares_with_the_spring_of_a_year_ago():
    last, this = a_spring(2026), a_spring(2027)
    books.owed(this)
    assert before(this) == last
    words = page(this).content.decode()
    assert "6 last season, +1" in words
    assert "done in the same week of last season" in words


def test_last_season_is_counted_once_a_day_and_its_own_page_counts_it_anew():
    last, this = a_spring(2026), a_spring(2027)
    page(this)
    tally = SeasonTally.objects.get(season=last)
    SeasonTally.objects.filter(pk=tally.pk).update(counts=tally.counts | {"owed": 99})
    assert "99 last season" in page(this).content.decode()
    page(last)
    assert "6 last season" in page(this).content.decode()


def test_a_season_that_owes_nothing_says_what_to_do():
    assert "Nothing was owed in this season" in page(books.season()).content.decode()


def test_a_branch_without_a_season_is_led_to_one():
    answer = cast.signed_in(cast.odile()).get(reverse("books:newest"))
    assert "Open a season" in answer.content.decode()


def test_the_room_opens_at_the_season_under_way():
    season = a_spring()
    answer = cast.signed_in(cast.odile()).get(reverse("books:newest"))
    assert answer["Location"] == reverse("books:season", args=[season.pk])


def test_the_days_from_owed_to_done_count_from_the_seasons_first_day():
    assert books_of(a_spring()).waited_days == (MAY - dt.date(2027, 5, 3)).days


def test_a_list_goes_out_as_a_file_with_its_formulas_defused():
    season = a_spring()
    customer = season.visits.first().owed_visit.home.customer
    type(customer).objects.filter(pk=customer.pk).update(name="=HYPERLINK(1)")
    answer = page(season, cast.odile, "list-file", "owed", "csv")
    lines = b"".join(answer.streaming_content).decode("utf-8-sig").splitlines()
    assert len(lines) == 7
    assert any(line.startswith("'=HYPERLINK") for line in lines)


@pytest.mark.parametrize("wrong", [("list", "nothing"), ("list-file", "owed", "exe")])
def test_an_unknown_list_or_ending_is_not_found(wrong):
    view, *arguments = wrong
    assert page(a_spring(), cast.odile, view, *arguments).status_code == 404


def test_the_paper_is_a_pdf_for_this_branch_alone():
    season = a_spring()
    answer = page(season, cast.odile, "season-pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert page(season, cast.priya, "season-pdf").status_code == 404


@pytest.mark.parametrize("view", ["season", "season-pdf", "capacity", "worth"])
def test_strangers_and_technicians_find_no_books(view):
    season = a_spring()
    assert page(season, cast.priya, view).status_code == 404
    assert page(season, lambda: cast.ingrid().user, view).status_code == 404
    address = reverse(f"books:{view}", args=[season.pk])
    assert cast.signed_in(cast.odile()).post(address).status_code in (404, 405)


def queries_of(view, season, django_assert_max_num_queries):
    with django_assert_max_num_queries(1000) as counted:
        page(season, cast.odile, view)
    return len(counted)


def test_as_many_queries_for_many_visits_as_for_few(django_assert_max_num_queries):
    season = a_spring()
    page(season)
    few = queries_of("season", season, django_assert_max_num_queries)
    for number in range(12):
        books.done(books.owed(season), MAY + number * books.A_DAY, "warm", hour=8)
    books.read(season)
    assert queries_of("season", season, django_assert_max_num_queries) == few

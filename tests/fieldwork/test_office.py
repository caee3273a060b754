"""What the office sees and changes: conflicts of the phones, and check lists."""

import pytest
from django.urls import reverse

from fieldwork.actions.check_lists import ListChanged, change_check_list, current_version
from fieldwork.check_lists import BadItem, Item, built_in_items, read_items
from fieldwork.forms import CheckListForm
from fieldwork.models import CheckListKind, CheckListVersion, Entry, EventState, PhoneEvent
from fieldwork.readings import FIELDS
from tests import cast
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
CONFLICTS, LISTS = reverse("fieldwork:conflicts"), reverse("fieldwork:check-lists")
COOLING = reverse("fieldwork:check-list", args=["cooling"])


def conflict() -> PhoneEvent:
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    story.send(story.entry(visit, "outdoor_db_f", "80"), device="a-second-phone")
    return PhoneEvent.objects.conflicts().get()


def settle(event: PhoneEvent, act: str, person=cast.odile):
    url = reverse("fieldwork:settle", args=[event.pk, act])
    return cast.signed_in(person()).post(url, follow=True)


def list_form(version: CheckListVersion, **changes: str) -> dict[str, str]:
    """The form as the page shows it, with changes."""
    form = CheckListForm(version=version)
    shown = {name: form[name].value() for name in form.fields}
    sent = {name: "on" if value is True else value for name, value in shown.items() if value}
    return {**sent, "new_kind": "look", "new_group": "condition"} | changes


def newest(kind: CheckListKind = CheckListKind.COOLING) -> CheckListVersion:
    return current_version(branch=cast.cedarburg(), kind=kind, now=story.NOON)


def test_the_office_sees_what_was_kept_and_why():
    conflict()
    page = cast.signed_in(cast.odile()).get(CONFLICTS).text
    assert "Outdoor air: 80" in page
    assert "changed on another phone" in page


def test_today_counts_what_the_phones_wait_for_and_leads_there():
    conflict()
    page = cast.signed_in(cast.odile()).get(reverse("front:today")).text
    assert "entry from the phones to decide" in page
    assert "Ingrid Solberg: 1" in page
    assert f'href="{CONFLICTS}"' in page


def test_today_no_longer_counts_what_was_decided():
    settle(conflict(), "leave")
    page = cast.signed_in(cast.odile()).get(reverse("front:today")).text
    assert "from the phones" not in page


def test_the_office_takes_it_over():
    assert "Taken over." in settle(conflict(), "take").text
    assert Entry.objects.last().value == 80.0


def test_the_office_leaves_it_aside_and_it_stays_on_record():
    event = conflict()
    settle(event, "leave")
    event.refresh_from_db()
    assert (event.state, event.settled_by) == (EventState.LEFT, cast.odile())
    assert "Nothing to decide" in cast.signed_in(cast.odile()).get(CONFLICTS).text


def test_what_cannot_be_taken_over_says_why_and_stays():
    event = conflict()
    event.payload |= {"typed": "740"}
    event.save()
    assert "cannot be taken over" in settle(event, "take").text
    event.refresh_from_db()
    assert event.state == EventState.CONFLICT


@pytest.mark.parametrize("url", [CONFLICTS, LISTS, COOLING])
def test_these_are_the_offices_pages(url):
    assert cast.signed_in(cast.odile()).get(url).status_code == 200
    assert cast.signed_in(cast.ingrid().user).get(url).status_code == 404


def test_a_strangers_conflict_is_not_found():
    assert settle(conflict(), "take", cast.priya).status_code == 404


def test_deciding_is_a_post():
    url = reverse("fieldwork:settle", args=[conflict().pk, "take"])
    assert cast.signed_in(cast.odile()).get(url).status_code == 405
    assert cast.signed_in(cast.odile()).post(LISTS).status_code == 405


def test_conflicts_are_listed_in_few_queries(django_assert_num_queries):
    first = conflict()
    copies = [PhoneEvent.objects.get(pk=first.pk) for _ in range(5)]
    for number, copy in enumerate(copies):
        copy.pk, copy.client_key = None, f"00000000-0000-0000-0000-00000000000{number}"
        copy.save()
    office = cast.signed_in(cast.odile())
    with django_assert_num_queries(4):
        office.get(CONFLICTS)


def test_the_built_in_lists_are_laid_once_and_hold_every_reading():
    assert newest().pk == newest().pk
    held = {key for kind in CheckListKind for key in (i.key for i in newest(kind).lines())}
    assert set(FIELDS) <= held


@pytest.mark.parametrize("kind", CheckListKind.values)
def test_every_built_in_caution_stands_in_both_languages(kind):
    cautions = [item for item in built_in_items(kind) if item.kind == "caution"]
    assert cautions
    assert all(item.en and item.es and item.en != item.es for item in cautions)


def test_the_office_makes_a_new_version_and_a_record_keeps_its_own():
    visit = story.stop()
    story.send(story.stamp(visit, "there"))
    sent = list_form(newest(), new_en="Surge protector light is green")
    answer = cast.signed_in(cast.odile()).post(COOLING, sent, follow=True)
    assert "version 2 is made" in answer.text
    assert newest().lines()[-1].key == "own_surge_protector_light_is_green"
    assert story.record_of(visit).version.number == 1


def test_an_own_look_is_asked_and_kept():
    cast.signed_in(cast.odile()).post(COOLING, list_form(newest(), new_en="Pad clean"))
    visit = story.stop()
    assert story.send(story.entry(visit, "own_pad_clean", "attention")).state == "applied"
    assert Entry.objects.get().value == "attention"


def test_a_reading_left_out_is_not_asked_and_may_come_back():
    sent = list_form(newest())
    del sent["in-igniter_ohm" if "in-igniter_ohm" in sent else "in-outdoor_fan"]
    cast.signed_in(cast.odile()).post(COOLING, sent)
    assert "outdoor_fan" not in {item.key for item in newest().lines()}
    assert 'name="in-outdoor_fan"' in cast.signed_in(cast.odile()).get(COOLING).text


def test_two_offices_that_change_one_list_are_told():
    stale = list_form(newest())
    cast.signed_in(cast.odile()).post(COOLING, list_form(newest(), new_en="Pad clean"))
    answer = cast.signed_in(cast.odile()).post(COOLING, stale)
    assert (answer.status_code, newest().number) == (422, 2)
    assert "changed this list meanwhile" in answer.text


def test_the_second_of_two_at_the_same_moment_is_refused():
    version, items = newest(), newest().lines()
    change_check_list(version=version, items=items, by=cast.odile(), now=story.NOON)
    with pytest.raises(ListChanged):
        change_check_list(version=version, items=items, by=cast.odile(), now=story.NOON)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"en-caution_ladder": ""}, "This field is required"),
        ({"new_en": "x" * 301}, "at most 300"),
        ({"new_en": "Pad", "new_kind": "unheard"}, "Select a valid choice"),
    ],
)
def test_bad_words_are_refused_and_nothing_typed_is_lost(changes, words):
    answer = cast.signed_in(cast.odile()).post(COOLING, list_form(newest(), **changes))
    assert (answer.status_code, newest().number) == (422, 1)
    assert words in answer.text


def test_a_list_of_nothing_is_refused():
    sent = {k: v for k, v in list_form(newest()).items() if not k.startswith("in-")}
    answer = cast.signed_in(cast.odile()).post(COOLING, sent)
    assert "at least one thing" in answer.text


def test_a_list_of_no_kind_is_not_found():
    url = reverse("fieldwork:check-list", args=["plumbing"])
    assert cast.signed_in(cast.odile()).get(url).status_code == 404


@pytest.mark.parametrize(
    "changes",
    [{"kind": "x"}, {"group": "x"}, {"only": "x"}, {"key": "x"}, {"en": ""}, {"es": "x" * 301}],
)
def test_an_item_that_makes_no_sense_is_refused(changes):
    good = {"key": "own_pad", "kind": "look", "group": "condition", "en": "Pad"}
    assert read_items([good])[0].words() == "Pad"
    with pytest.raises(BadItem):
        read_items([good | changes])


def test_an_item_stands_in_a_list_once():
    with pytest.raises(BadItem, match="twice"):
        read_items([Item("drain", "reading", "condition").as_dict()] * 2)

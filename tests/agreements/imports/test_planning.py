"""What one row does to what is on file."""

import datetime as dt
from decimal import Decimal

import pytest

from agreements.imports.actions import decide_offers
from agreements.imports.promises import STAYS
from agreements.models import Agreement, HomeSpelling, OwedVisit, Plan
from customers.models import Customer, Home, System
from kit.when import WeekHalves
from tests import cast, factories


def differences(outcome):
    return [(d.label, d.was, d.becomes) for d in outcome.differences]


def answer(sheet_import, row, value):
    decide_offers(sheet_import=sheet_import, decisions={row: value})


def test_a_new_row_makes_customer_home_system_filter_and_agreement(upload, bring_in):
    row = {"Filter size": "16x25x4", "Days": "Mon, Tue", "AM/PM": "AM", "Short notice": "yes"}

    bring_in(upload(row))

    home = Home.objects.get()
    assert str(home.customer) == "Ana Ortiz"
    assert home.halves == WeekHalves.of([(0, 0), (1, 0)])
    assert home.short_notice
    filter_ = home.systems.get().filters.get()
    assert (filter_.size, filter_.thickness_in) == ("16x25", 4)
    assert home.agreements.get().systems.get() == home.systems.get()


def test_a_search_finds_the_home_that_came_in(upload, bring_in):
    bring_in(upload({"Name": "Zoë Núñez"}))

    assert Home.objects.matching("nunez").count() == 1


def test_a_changed_phone_is_shown_as_was_and_becomes_then_written(upload, look, bring_in):
    bring_in(upload({}))
    changed = upload({"Phone": "262-555-0199"})

    assert differences(look(changed)[2]) == [("phone", "+14145550143", "+12625550199")]
    bring_in(changed)
    assert Customer.objects.get().phone == "+12625550199"
    assert Home.objects.matching("2625550199").exists()


def test_a_blank_cell_takes_nothing_away(upload, look, bring_in):
    bring_in(upload({"Gate": "4471"}))

    outcome = look(upload({"Gate": "", "Phone": "", "Serial": "", "Price": ""}))[2]

    assert outcome.kind == "same"


@pytest.mark.parametrize(
    ("said", "renews"), [("yes", True), ("x", True), ("no", False), ("none", False), ("", False)]
)
def test_a_new_agreement_renews_where_the_column_says_that_it_was_agreed(
    upload, bring_in, said, renews
):
    bring_in(upload({"Auto-renewal": said}))

    assert Agreement.objects.get().renews is renews


def test_a_new_agreement_renews_when_no_column_tells_of_it(upload, bring_in):
    bring_in(upload({}))

    assert Agreement.objects.get().renews


def test_an_empty_cell_about_renewal_is_said_to_be_taken_as_no(upload, look):
    notes = look(upload({"Auto-renewal": ""}))[2].notes

    assert [note.column for note in notes] == ["Auto-renewal"]
    assert "taken as no" in notes[0].words


def test_an_unclear_answer_about_renewal_is_refused(upload, look):
    outcome = look(upload({"Auto-renewal": "perhaps"}))[2]

    assert [(refusal.column, refusal.code) for refusal in outcome.refusals] == [
        ("Auto-renewal", "yes_no_unreadable")
    ]


def test_what_was_agreed_on_file_is_not_changed_by_a_sheet(upload, look, bring_in):
    bring_in(upload({"Auto-renewal": "yes"}))

    outcome = look(upload({"Auto-renewal": "no"}))[2]
    assert outcome.kind == "same"
    assert outcome.says.endswith("does not renew by itself")
    assert [note.words for note in outcome.notes] == [STAYS[True]]


def test_notes_made_here_survive_an_import(upload, bring_in):
    bring_in(upload({"Notes": "Ring twice"}))
    Home.objects.update(access_notes="Ring twice\nMoved the key")

    bring_in(upload({"Notes": "Ring three times"}))

    assert Home.objects.get().access_notes == "Ring twice\nMoved the key\nRing three times"


def test_a_later_check_recorded_here_is_not_undone_by_an_older_sheet(upload, look, bring_in):
    bring_in(upload({"Last check": "4/22/2026"}))
    System.objects.update(last_checked_on=dt.date(2027, 2, 1))

    assert look(upload({"Last check": "4/22/2026"}))[2].kind == "same"


def test_an_exact_point_never_falls_back_to_the_middle_of_the_zip(upload, look, bring_in):
    bring_in(upload({"Latitude": "43.051", "Longitude": "-87.901"}))

    assert look(upload({}))[2].kind == "same"
    assert Home.objects.get().precision == "exact"


def test_a_serial_that_was_missing_is_filled_into_the_same_system(upload, look, bring_in):
    bring_in(upload({"Serial": ""}))
    filled = upload({"Serial": "A1"})

    assert differences(look(filled)[2]) == [("serial", "", "A1")]
    bring_in(filled)
    assert System.objects.get().serial == "A1"


def test_a_second_row_adds_a_system_to_home_and_agreement(upload, bring_in):
    bring_in(upload({}, {"System": "furnace", "Serial": "F1"}))

    assert Home.objects.get().systems.count() == 2
    assert Agreement.objects.get().systems.count() == 2


def test_two_air_conditioners_stay_two_when_one_serial_is_not_known_yet(upload, look, bring_in):
    bring_in(upload({}, {"Serial": ""}))
    later = upload({}, {"Serial": "B7"})

    assert differences(look(later)[3]) == [("serial", "", "B7")]
    bring_in(later)
    assert sorted(System.objects.values_list("serial", flat=True)) == ["A1", "B7"]


def test_a_furnace_bought_later_joins_the_home_and_its_agreement(upload, look, bring_in):
    bring_in(upload({}))
    both = upload({}, {"System": "furnace", "Serial": "F1"})

    assert [label for label, _, _ in differences(look(both)[3])] == ["system", "Annual covers"]
    bring_in(both)
    assert Agreement.objects.get().systems.count() == 2


def test_two_rows_that_disagree_on_the_customer_do_not_change_it_back_and_forth(
    upload, look, bring_in
):
    rows = {}, {"System": "furnace", "Serial": "F1", "Phone": "414-555-0144", "Gate": "9"}
    bring_in(upload(*rows))

    assert {outcome.kind for outcome in look(upload(*rows)).values()} == {"same"}
    assert Customer.objects.get().phone == "+14145550143"
    assert Home.objects.get().gate_code == "9"


def test_one_serial_on_two_machines_of_a_home_is_refused(upload, look):
    outcome = look(upload({}, {"System": "furnace", "Serial": "A1"}))[3]

    assert outcome.kind == "refused"
    assert outcome.refusals[0].column == "Serial"
    assert "the serial A1 is that of the Air conditioner" in outcome.refusals[0].reason


def test_the_branchs_own_plans_are_used(upload, bring_in):
    plan = cast.spring_check()

    bring_in(upload({"Price": ""}))

    agreement = Agreement.objects.get()
    assert (agreement.plan, agreement.price) == (plan, Decimal("149.00"))


def test_a_plan_is_found_by_the_name_that_the_shop_gave_it(upload, bring_in):
    gold = factories.PlanFactory(branch=cast.cedarburg(), code="best", name="Gold Plan")

    bring_in(upload({"Plan": "gold", "Price": ""}))

    agreement = Agreement.objects.get()
    assert (agreement.plan, agreement.price) == (gold, gold.price)


def test_a_plan_named_after_the_check_is_read_again_without_a_new_upload(upload, look):
    sheet_import = upload({"Plan": "Gold"})
    assert look(sheet_import)[2].kind == "refused"

    factories.PlanFactory(branch=cast.cedarburg(), code="best", name="Gold Plan")

    assert look(sheet_import)[2].kind == "new"


def test_without_a_plan_it_makes_one_at_the_price_that_most_rows_have(upload, bring_in):
    streets = [{"Street": f"{n} Oak St", "Name": f"Customer {n}", "Phone": ""} for n in (1, 2, 3)]
    prices = ({"Price": "169"}, {"Price": "199"}, {"Price": "169"})

    bring_in(upload(*(street | price for street, price in zip(streets, prices, strict=True))))

    plan = Plan.objects.get()
    assert (plan.code, plan.price, plan.cooling_checks) == ("annual", Decimal(169), 1)


def test_an_agreement_sold_years_ago_is_in_the_term_that_runs_today(upload, bring_in):
    bring_in(upload({"Start": "2/29/2024"}))

    agreement = Agreement.objects.get()
    assert (agreement.anchor_on, agreement.term_number) == (dt.date(2024, 2, 29), 3)
    assert (agreement.starts_on, agreement.ends_on) == (
        dt.date(2027, 2, 28),
        dt.date(2028, 2, 28),
    )


def test_an_old_start_stays_the_same_agreement_when_its_next_term_runs(upload, look, bring_in):
    bring_in(upload({"Start": "6/1/2020"}))

    a_year_on = look(upload({"Start": "6/1/2020"}), today=dt.date(2027, 8, 1))

    assert a_year_on[2].kind == "same"


def test_the_day_on_which_the_next_term_starts_renews_the_agreement(upload, bring_in):
    bring_in(upload({}))

    bring_in(upload({"Start": "6/1/2027", "Price": "179"}), today=dt.date(2027, 5, 20))

    first, second = Agreement.objects.order_by("starts_on")
    assert (second.anchor_on, second.term_number) == (first.anchor_on, 1)
    assert (first.price, second.price) == (Decimal(169), Decimal(179))


def test_another_start_beside_a_running_agreement_is_refused(upload, look, bring_in):
    bring_in(upload({}))

    outcome = look(upload({"Start": "7/15/2026"}))[2]

    assert outcome.kind == "refused"
    assert (outcome.refusals[0].column, outcome.refusals[0].code) == ("Start", "agreement_overlaps")
    assert "from June 1, 2026 to May 31, 2027 already" in outcome.refusals[0].reason


def test_a_changed_price_is_written_to_the_running_agreement(upload, look, bring_in):
    bring_in(upload({}))
    dearer = upload({"Price": "179"})

    assert differences(look(dearer)[2]) == [("price", "$169.00", "$179.00")]


def test_a_check_inside_the_due_window_is_not_owed_again(upload, bring_in):
    bring_in(upload({"Start": "3/16/2026", "Last check": "4/22/2026"}))

    owed = OwedVisit.objects.get()
    assert (owed.closed, owed.closed_on) == ("done", dt.date(2026, 4, 22))


def test_a_check_of_an_earlier_year_leaves_this_years_owed(upload, bring_in):
    bring_in(upload({"Last check": "4/22/2026"}))

    owed = OwedVisit.objects.get()
    assert owed.closed == ""
    assert (owed.due_from, owed.due_until) == (dt.date(2027, 3, 1), dt.date(2027, 5, 31))


def test_a_home_of_another_branch_is_not_touched(upload, look):
    stranger = factories.CustomerFactory(branch=cast.sheboygan(), name="Ana Ortiz")
    factories.HomeFactory(customer=stranger, street="214 Oak Street", zip="53202")

    assert look(upload({}))[2].kind == "new"


MISSPELT = {"Street": "214 Oka Street", "Serial": ""}


def test_an_offered_row_is_not_brought_in_before_it_is_decided(upload, look, bring_in):
    sheet_import = upload({}, MISSPELT)

    assert look(sheet_import)[3].kind == "alike"
    assert bring_in(sheet_import)["alike"] == 1
    assert Home.objects.count() == 1


def test_a_row_merged_into_a_home_stays_merged_in_the_next_file(upload, look, bring_in):
    sheet_import = upload({}, MISSPELT)
    answer(sheet_import, 3, "row-2")
    bring_in(sheet_import)

    again = look(upload({}, MISSPELT))

    assert Home.objects.get().street == "214 Oak Street"
    assert HomeSpelling.objects.get().street == "214 Oka Street"
    assert [outcome.kind for outcome in again.values()] == ["same", "same"]


def test_a_row_kept_apart_is_a_home_of_its_own_and_is_not_asked_about_again(upload, look, bring_in):
    sheet_import = upload({}, MISSPELT)
    answer(sheet_import, 3, "apart")
    bring_in(sheet_import)

    assert Home.objects.count() == 2
    assert [outcome.kind for outcome in look(upload({}, MISSPELT)).values()] == ["same", "same"]


def test_a_row_is_merged_into_a_home_on_file(upload, look, bring_in):
    bring_in(upload({}))
    later = upload(MISSPELT)
    answer(later, 2, look(later)[2].choices[0].value)

    assert bring_in(later)["same"] == 1
    assert Home.objects.count() == 1


def test_one_customer_with_two_homes_is_one_customer(upload, bring_in):
    sheet_import = upload({}, {"Street": "9 Elm Street", "Serial": "B1"})
    answer(sheet_import, 3, "row-2")

    bring_in(sheet_import)

    assert Customer.objects.get().homes.count() == 2


def test_a_second_system_waits_for_the_row_that_its_home_waits_for(upload, look):
    outcomes = look(upload({}, MISSPELT, MISSPELT | {"System": "furnace"}))

    assert [outcome.kind for outcome in outcomes.values()] == ["new", "alike", "alike"]
    assert outcomes[4].notes[-1].words == "it waits for row 3."


def test_an_answer_that_no_longer_fits_leaves_the_row_undecided(upload, look):
    sheet_import = upload({}, MISSPELT)
    answer(sheet_import, 3, "home-99")

    assert look(sheet_import)[3].kind == "alike"


def test_an_answer_can_be_taken_back(upload, look):
    sheet_import = upload({}, MISSPELT)
    answer(sheet_import, 3, "apart")
    answer(sheet_import, 3, "")

    assert look(sheet_import)[3].kind == "alike"


def test_nothing_is_written_when_one_row_fails(upload, bring_in, monkeypatch):
    def fail(**_):
        raise RuntimeError("the lights went out")

    monkeypatch.setattr("agreements.imports.writing.owe_visits", fail)
    with pytest.raises(RuntimeError):
        bring_in(upload({}))

    assert (Customer.objects.count(), Home.objects.count(), Plan.objects.count()) == (0, 0, 0)

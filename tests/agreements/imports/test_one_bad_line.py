"""One bad line among ten thousand: it is named, and the others are as good as without it."""

import pytest

from tests.agreements.imports.conftest import written

BAD_ROW = 6_789


def rows(count: int):
    """Homes of their own; row 2 is the first below the headings."""
    for row in range(2, count + 2):
        yield {
            "Name": f"Customer {row}", "Phone": "", "Street": f"{row} Oak Street",
            "Serial": f"S{row}", "Price": "169.995" if row == BAD_ROW else "169",
        }  # fmt: skip


@pytest.mark.slow
def test_a_bad_line_among_ten_thousand_is_named_and_costs_no_other(upload, look):
    outcomes = look(upload(content=written(*rows(10_000))))

    refused = {row: outcome for row, outcome in outcomes.items() if outcome.kind == "refused"}
    assert list(refused) == [BAD_ROW]
    assert refused[BAD_ROW].refusals[0].column == "Price"
    assert sum(outcome.kind == "new" for outcome in outcomes.values()) == 9_999

"""What was found: records with something to repair or to watch, by subject; recommendations."""

from __future__ import annotations

from django.db.models import Count, Q, QuerySet

from books.numbers.number import Kind, Number, Rows
from fieldwork.models import Recommendation, RecommendationState, Record
from fieldwork.readings import GROUPS
from kit.lists import Column
from scheduling.models import Season

EMERGENCY = "!"


def _records_with_names(rows: QuerySet[Record]) -> QuerySet[Record]:
    return rows.select_related(
        "visit__owed_visit__agreement__home__customer", "technician", "digest"
    )


def subjects(groups: str) -> str:
    """The subjects behind the letters of a digest: "BE" -> "Airflow, Electrical"."""
    known: dict[str, str] = {EMERGENCY: "Emergency"}
    known.update(GROUPS.items())
    return ", ".join(known[letter] for letter in groups if letter in known)


RECORDS = Kind(
    "records",
    (
        Column("Customer", lambda r: r.visit.owed_visit.home.customer.name),
        Column("Address", lambda r: r.visit.owed_visit.home.address),
        Column("Day", lambda r: r.day, "day"),
        Column("Technician", lambda r: str(r.technician)),
        Column("To repair", lambda r: subjects(r.digest.act)),
        Column("To watch", lambda r: subjects(r.digest.watch)),
        Column("Test", lambda r: r.digest.test or ""),
        Column("Outcome", lambda r: r.get_outcome_display()),
    ),
    _records_with_names,
    lambda record: record.visit.owed_visit.agreement.home_id,
)

RECOMMENDED = Kind(
    "recommendations",
    (
        Column("Customer", lambda r: r.record.visit.owed_visit.home.customer.name),
        Column("Address", lambda r: r.record.visit.owed_visit.home.address),
        Column("Recommended", lambda r: r.words),
        Column("Urgency", lambda r: r.get_urgency_display()),
        Column("State", lambda r: r.get_state_display()),
        Column("Day", lambda r: r.record.day, "day"),
        Column("Technician", lambda r: str(r.record.technician)),
    ),
    lambda rows: rows.select_related(
        "record__visit__owed_visit__agreement__home__customer", "record__technician"
    ),
    lambda row: row.record.visit.owed_visit.agreement.home_id,
)


def records(season: Season) -> QuerySet[Record]:
    """Finished records that were read into a digest."""
    return Record.objects.filter(visit__season=season, digest__isnull=False)


def found_counts(season: Season) -> dict[str, int]:
    """The counts of all findings in one pass; each as long as its number's list."""
    numbers = {
        number.key: Count("pk", filter=Q(**{f"digest__{column}__contains": letter}))
        for letter, pair in BY_SUBJECT.items()
        for column, number in zip(("act", "watch"), pair, strict=True)
    }
    emergencies = Count("pk", filter=Q(digest__act__contains=EMERGENCY))
    names = {key: key.replace("-", "_") for key in numbers}
    row = records(season).aggregate(
        read=Count("pk"),
        emergencies=emergencies,
        **{names[key]: count for key, count in numbers.items()},
    )
    found = {key: row[name] for key, name in names.items()}
    found |= {READ.key: row["read"], EMERGENCIES.key: row["emergencies"]}
    return found | _recommended_counts(season)


def _recommended_counts(season: Season) -> dict[str, int]:
    rows = _recommended()(season).order_by().values_list("state").annotate(n=Count("pk"))
    by_state: dict[str, int] = dict(rows)
    return {
        number.key: sum(by_state.get(state, 0) for state in states or by_state)
        for number, states in zip(RECOMMENDATIONS, RECOMMENDED_STATES, strict=True)
    }


def _with(column: str, letter: str) -> Rows:
    return lambda season: records(season).filter(**{f"digest__{column}__contains": letter})


def _recommended(*states: str) -> Rows:
    def rows(season: Season) -> QuerySet[Recommendation]:
        found = Recommendation.objects.filter(record__visit__season=season)
        return found.filter(state__in=states) if states else found

    return rows


# By letter of the digest: (to repair, to watch). Conditions of the test are no finding.
BY_SUBJECT: dict[str, tuple[Number, Number]] = {
    letter: (
        Number(
            f"repair-{letter.lower()}", f"{title}: to repair",
            "Homes where a verdict of this subject says: act.", RECORDS, _with("act", letter),
        ),
        Number(
            f"watch-{letter.lower()}", f"{title}: to watch",
            "Homes where a verdict of this subject says: watch.", RECORDS, _with("watch", letter),
        ),
    )
    for letter, title in GROUPS.items()
    if letter != "A"
}  # fmt: skip
EMERGENCIES = Number(
    "emergencies", "Emergencies",
    "Something dangerous was found, and the procedure for it came first.",
    RECORDS, _with("act", EMERGENCY),
)  # fmt: skip
READ = Number(
    "read", "Records read", "Finished records whose readings were judged.", RECORDS, records
)
# By number: the states that it counts; none: all of them.
RECOMMENDED_STATES = (
    (),
    (RecommendationState.AGREED, RecommendationState.DONE),
    (RecommendationState.DECLINED,),
    (RecommendationState.OPEN, RecommendationState.TOLD),
)
RECOMMENDATIONS = tuple(
    Number(key, label, note, RECOMMENDED, _recommended(*states))
    for (key, label, note), states in zip(
        (
            ("recommended", "Recommended", "Repairs that technicians recommended."),
            ("agreed", "Agreed or done", "The customer agreed."),
            ("declined", "Declined", "The customer declined."),
            ("unsettled", "Not settled", "Still on the follow-up list."),
        ),
        RECOMMENDED_STATES,
        strict=True,
    )
)

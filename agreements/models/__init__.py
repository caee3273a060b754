from agreements.models.agreement import Agreement, Ended, Rhythm
from agreements.models.balance import Balance
from agreements.models.bookkeeping import Bookkeeping, Recognition, bookkeeping_of
from agreements.models.event import AgreementEvent, PlanEvent, What
from agreements.models.imports import HomeSpelling, SpreadsheetImport
from agreements.models.money import Charge, ChargeKind, How, Payment, Refund
from agreements.models.owed_visit import OwedVisit, VisitKind
from agreements.models.plan import Plan, PlanVersion, ProrationRule, RefundRule

__all__ = [
    "Agreement",
    "AgreementEvent",
    "Balance",
    "Bookkeeping",
    "Charge",
    "ChargeKind",
    "Ended",
    "HomeSpelling",
    "How",
    "OwedVisit",
    "Payment",
    "Plan",
    "PlanEvent",
    "PlanVersion",
    "ProrationRule",
    "Recognition",
    "Refund",
    "RefundRule",
    "Rhythm",
    "SpreadsheetImport",
    "VisitKind",
    "What",
    "bookkeeping_of",
]

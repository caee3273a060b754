from agreements.actions.agreeing import make_agreement, renew_agreement, renew_through
from agreements.actions.owing import close_checks_on_file, close_owed_visit, owe_visits
from agreements.actions.plans import price_of

__all__ = [
    "close_checks_on_file",
    "close_owed_visit",
    "make_agreement",
    "owe_visits",
    "price_of",
    "renew_agreement",
    "renew_through",
]

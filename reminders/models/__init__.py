from reminders.models.day import ReminderDay
from reminders.models.home_event import EventKind, HomeEvent, ToldBy
from reminders.models.no_start import NoStart, Outcome

__all__ = ["EventKind", "HomeEvent", "NoStart", "Outcome", "ReminderDay", "ToldBy"]

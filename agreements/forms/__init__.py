from agreements.forms.agreeing import AgreementForm
from agreements.forms.narrow import ENDED, ENDING, EVERY, OVERDUE, NarrowForm

__all__ = ["ENDED", "ENDING", "EVERY", "OVERDUE", "AgreementForm", "NarrowForm"]

"""What terms promise, as sentences for a customer, in the active language."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from agreements.models import Agreement, ProrationRule, RefundRule, Rhythm
from agreements.models.plan import PlanTerms
from agreements.money.amounts import dollars


def promised(version: PlanTerms) -> list[str]:
    """What is done for the customer."""
    lines = []
    if version.cooling_checks:
        lines.append(
            ngettext(
                "%(count)d cooling check a term of each covered system, on a day that is warm "
                "enough outdoors to test it",
                "%(count)d cooling checks a term of each covered system, on days that are warm "
                "enough outdoors to test it",
                version.cooling_checks,
            )
            % {"count": version.cooling_checks}
        )
    if version.heating_checks:
        lines.append(
            ngettext(
                "%(count)d heating check a term of each covered system",
                "%(count)d heating checks a term of each covered system",
                version.heating_checks,
            )
            % {"count": version.heating_checks}
        )
    if version.repair_discount_percent:
        lines.append(
            _("%(percent)d percent off repairs") % {"percent": version.repair_discount_percent}
        )
    if version.no_overtime_charge:
        lines.append(_("No overtime charge for repairs in the evening or at the weekend"))
    if version.priority:
        lines.append(_("Repair calls come before those of customers without an agreement"))
    return lines


def how_it_ends(agreement: Agreement) -> list[str]:
    """How it ends, and what comes back then."""
    version = agreement.version
    if agreement.renews:
        first = _(
            "The next term begins by itself, as you agreed, unless you tell us before the end. "
            "We write to you at least %(days)d days before, and tell you the price."
        )
    else:
        first = _("It ends by itself. A next term begins only if you say yes.")
    return [
        first % {"days": version.notice_days} if agreement.renews else first,
        _("You may end it earlier at any time. Then %(rule)s.")
        % {"rule": refund_words(version.refund_rule)},
        _("If the law of your state gives you more than this agreement, the law counts."),
    ]


def refund_words(rule: str) -> str:
    """What goes back, as the end of a sentence."""
    if rule == RefundRule.PRICE_LESS_VISITS:
        return _(
            "you get back what you paid, less the visits carried out, each at its price when "
            "bought alone"
        )
    return _("you get back the price of the days that are left")


def office_rules(version: PlanTerms) -> list[str]:
    """The rules about a part of a term, for the office."""
    proration, refunds = ProrationRule(version.proration_rule), RefundRule(version.refund_rule)
    return [
        f"Begun inside a term it costs {proration.label}.",
        f"When it ends early, the customer gets back {refunds.label}.",
        f"Notice: {version.notice_days} days.",
    ]


def payment_words(agreement: Agreement) -> str:
    """How the price is paid."""
    price = dollars(agreement.price)
    if agreement.rhythm == Rhythm.MONTHLY:
        return _("%(price)s for this term, in equal monthly parts") % {"price": price}
    return _("%(price)s for this term, due on its first day") % {"price": price}

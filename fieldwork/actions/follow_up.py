"""The verb of the follow-up list: what the office learnt of a recommended repair."""

from __future__ import annotations

import datetime as dt

from fieldwork.models import Recommendation, RecommendationState

S = RecommendationState
# What may come next. A customer may change her mind; what is done stays done.
NEXT: dict[str, tuple[RecommendationState, ...]] = {
    S.OPEN: (S.TOLD, S.AGREED, S.DECLINED, S.DONE),
    S.TOLD: (S.AGREED, S.DECLINED, S.DONE),
    S.AGREED: (S.DONE, S.DECLINED),
    S.DECLINED: (S.AGREED, S.OPEN),
    S.DONE: (),
}


class FollowUpRefused(ValueError):
    """Why a recommendation stays as it is, in words."""


def follow_up(
    *, recommendation: Recommendation, state: str, now: dt.datetime
) -> RecommendationState:
    """Move a recommendation on. Raises FollowUpRefused for a step that does not fit.

    `recommendation` is as the office saw it: whoever was faster meanwhile is not overwritten.
    """
    if state not in NEXT[recommendation.state]:
        raise FollowUpRefused(
            f"From “{recommendation.get_state_display()}” this step is not possible."
        )
    seen = Recommendation.objects.filter(pk=recommendation.pk, state=recommendation.state)
    if not seen.update(state=state, changed_at=now):
        raise FollowUpRefused("Somebody else has changed it meanwhile. Look again.")
    recommendation.state, recommendation.changed_at = state, now
    return RecommendationState(state)

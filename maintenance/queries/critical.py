"""Which defects bite on something she needs, so that closing one is for owner or skipper."""

import re
from collections.abc import Mapping

from maintenance.models import Defect, Effect
from vessel.models import FeedChoice, Function

NAME = re.compile(r"[A-Za-z][\w-]*")


def is_critical(defect: Defect) -> bool:
    """Whether its equipment stands in the tree of a function, or feeds what does, and it may take that away.

    An effect or a place that nobody stated counts as the worse: it may be either. At most three queries.
    """
    if defect.effect == Effect.NONE:
        return False
    if defect.equipment is None:
        return True
    trees = dict(Function.objects.filter(vessel_id=defect.vessel_id).values_list("key", "tree"))
    leaning = _leaning_on(trees)
    feeds = FeedChoice.objects.filter(equipment__vessel_id=defect.vessel_id).values_list(
        "equipment__code", "feed__code"
    )
    return defect.equipment.code in _with_feeds(leaning, list(feeds))


def _leaning_on(trees: Mapping[str, str]) -> set[str]:
    """Every name in the trees: equipment codes, and the keys of groups, whose own trees stand among them."""
    return {name for tree in trees.values() for name in NAME.findall(tree)}


def _with_feeds(codes: set[str], feeds: list[tuple[str, str]]) -> set[str]:
    """Those codes and whatever feeds them, directly or through others."""
    found, grown = codes, codes | {feed for item, feed in feeds if item in codes}
    while grown != found:
        found, grown = grown, grown | {feed for item, feed in feeds if item in grown}
    return found

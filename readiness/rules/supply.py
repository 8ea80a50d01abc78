"""Which means hang on the ship's electrical supply, so that one fault there takes them all."""

from readiness.calc.success_tree import Tree, codes
from readiness.rules.computed_condition import CONDITIONS
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Equipment
from readiness.rules.words_of_trade import Kind

SUPPLY = frozenset({Kind.MAIN_PANEL, Kind.PANEL, Kind.CONVERTER, Kind.SHIP_BANK})
OWN_STORE = frozenset({Kind.CRANK_BATTERY, Kind.BOOSTER})  # does not fail with what charges it


def on_supply(facts: Facts, tree: Tree) -> bool:
    """Whether any part of a tree hangs on the ship's supply, by any of its feeds, or on a feed that nobody lists."""
    items = {item.code: item for item in facts.boat.equipment}
    return any(_hangs(items, code, frozenset()) for code in codes(tree) if code not in CONDITIONS)


def _hangs(items: dict[str, Equipment], code: str, seen: frozenset[str]) -> bool:
    item = items.get(code)
    if item is None or item.kind in SUPPLY:
        return True
    feeds = () if item.kind in OWN_STORE or code in seen else item.fed_by
    return any(_hangs(items, feed, seen | {code}) for feed in feeds)

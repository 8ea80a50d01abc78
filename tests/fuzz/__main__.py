"""python -m tests.fuzz [--target NAME] [--seconds S] [--seed N]: a report on each reader, the failures below it."""

import argparse
import sys
import time

from tests.fuzz.mutator import mutated
from tests.fuzz.running import BY_NAME, SEEDS_APART, keep, run
from tests.fuzz.targets import TARGETS


def main() -> int:
    """Run the targets one after another; exit status 1 when something broke."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--target", choices=sorted(BY_NAME), action="append", help="only this reader; may be repeated")
    parser.add_argument("--seconds", type=float, default=60.0, help="how long each reader is tried")
    parser.add_argument("--seed", type=int, default=1, help="another number, other damage")
    parser.add_argument("--ways", action="store_true", help="list how often each refusal was given")
    asked = parser.parse_args()
    broken = 0
    for target in TARGETS:
        if asked.target and target.name not in asked.target:
            continue
        report = run(target, seed=asked.seed, until=time.monotonic() + asked.seconds, most=10**9)
        broken += len(report.failures)
        details = []
        for number, why in list(report.failures.items())[:20]:
            data = mutated(target.seeds(), asked.seed * SEEDS_APART + number)
            details.append(f"    FAILED {keep(data, target, number)}: {why}")
        details += [f"    {count} died: {why}" for why, count in report.deaths.most_common()]
        details += [f"    {count:7,} {words}" for words, count in report.refused.most_common()] if asked.ways else []
        sys.stdout.write("\n".join([report.line(), *details, ""]))
        sys.stdout.flush()
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())

"""The limited process: takes one order and one file on standard input, answers on standard output, ends.

Nothing that reads a file is loaded before the order names it.
"""

import resource
import sys
from importlib import import_module

import msgspec

from vessel.errors import Refused
from vessel.feeds.wire import LENGTH_BYTES, REFUSED, TOO_LARGE, Order, encode

ADDRESSES_BYTES = 2 << 30  # libraries are mapped, not held


def bound(memory_bytes: int, work_s: int) -> None:
    """Limit this process: memory, work, no child, no core file, nothing written to any file."""
    _limit(resource.RLIMIT_AS, ADDRESSES_BYTES)
    _limit(resource.RLIMIT_DATA, memory_bytes)
    # the first limit says why it ended, the second cannot be caught
    resource.setrlimit(resource.RLIMIT_CPU, (work_s, work_s + 1))
    _limit(resource.RLIMIT_NPROC, 0)
    _limit(resource.RLIMIT_CORE, 0)
    _limit(resource.RLIMIT_FSIZE, 0)


def _limit(which: int, most: int) -> None:
    resource.setrlimit(which, (most, most))


def main() -> int:
    """Load the reader, bound this process, read, answer."""
    given = sys.stdin.buffer
    length = int.from_bytes(given.read(LENGTH_BYTES), "little")
    order = msgspec.json.decode(given.read(length), type=Order)
    module, _, name = order.path.rpartition(".")
    read = getattr(import_module(module), name)
    bound(order.memory_bytes, order.work_s)
    try:
        answer, status = encode(read(given.read(), **order.keywords)), 0
    except Refused as reason:
        answer, status = str(reason).encode(), REFUSED
    except MemoryError:
        return TOO_LARGE
    sys.stdout.buffer.write(answer)
    return status


if __name__ == "__main__":
    sys.exit(main())

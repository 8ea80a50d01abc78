"""The web server's process, as `serve` starts it: python -m config.web ADDRESS PORT."""

import ctypes
import os
import signal
import sys

from granian.constants import Interfaces
from granian.log import LogLevels
from granian.server import Server

PR_SET_PDEATHSIG = 1
THREADS = 4
STOP_WITHIN_S = 10


def end_with_parent(parent: int) -> None:
    """Ask Linux to end this process when the one that started it is gone, however it went."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
        if os.getppid() != parent:
            sys.exit(0)


def serve(address: str, port: int) -> None:
    """Serve the pages until told to stop. It buffers slow connections, so that they cannot hold a thread."""
    Server(
        "config.wsgi:application",
        address=address,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        websockets=False,
        log_level=LogLevels.warning,
        workers_kill_timeout=STOP_WITHIN_S,
    ).serve()


if __name__ == "__main__":
    end_with_parent(int(sys.argv[3]))
    serve(sys.argv[1], int(sys.argv[2]))

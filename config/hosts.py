"""The names and addresses by which this computer is reached on board."""

import socket

# An address kept for documentation: nothing is sent there, the system only says which way it would go.
NOWHERE = ("192.0.2.1", 9)


def address_on_the_lan() -> str | None:
    """This computer's own address on the boat's network; None without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOWHERE)
            address: str = probe.getsockname()[0]
        except OSError:
            return None
    return address


def own_names(lan_address: str | None) -> list[str]:
    """Names a browser may use for this computer; a foreign name that points here is refused."""
    name = socket.gethostname().lower()
    names = ["localhost", "127.0.0.1", "[::1]", name, f"{name.split('.')[0]}.local", lan_address]
    return list(dict.fromkeys(name for name in names if name))

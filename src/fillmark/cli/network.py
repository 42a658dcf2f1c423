"""Under which names and addresses this machine is found on the home network."""

import re
import socket
from dataclasses import dataclass
from ipaddress import IPv4Address

import ifaddr

from fillmark.core.values.errors import CannotServe

ALL_ADDRESSES = "0.0.0.0"  # noqa: S104  # what a person chooses by --lan
_NAME = re.compile(r"[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*")


@dataclass(frozen=True, kw_only=True, slots=True)
class Machine:
    """This machine as phones may ask for it.

    Attributes:
        addresses: Its own, best first: the one that its other traffic leaves from. Never one of the open internet.
        names: What it is called, without and with the ending that finds it on a home network.
    """

    addresses: tuple[IPv4Address, ...]
    names: tuple[str, ...]

    @property
    def hosts(self) -> tuple[str, ...]:
        """All of them, as they stand in an address line; with those that only this machine itself can use."""
        return tuple(dict.fromkeys((*map(str, self.addresses), *self.names, "localhost", "127.0.0.1")))


def find_machine(host: str | None = None) -> Machine:
    """This machine on its home network, or on the one address that is named.

    Raises:
        CannotServe: it has no address on a home network, or the named one is not such an address.
    """
    own = socket.gethostname().lower()
    names = (own, f"{own.partition('.')[0]}.local") if _NAME.fullmatch(own) else ()
    if host in (None, ALL_ADDRESSES):
        addresses = _addresses()
        if not addresses:
            raise CannotServe(
                field="--lan",
                got="No address of this machine on a home network",
                allowed="a machine that is connected to the household's Wi-Fi or router",
                remedy="Connect it and start again; without --lan the app works on this machine itself.",
            )
        return Machine(addresses=addresses, names=names)
    try:
        address = IPv4Address(host)
    except ValueError:
        raise _not_at_home(f'"{host}" for an address') from None
    if address.is_global or address.is_multicast or address.is_unspecified:
        raise _not_at_home(f"The address {host}, which is not one of a home network")
    return Machine(addresses=(address,), names=names)


def _not_at_home(got: str) -> CannotServe:
    return CannotServe(
        field="--host",
        got=got,
        allowed="an address of this machine on the home network, such as 192.168.1.20",
        remedy="Leave --host out, and all of them are used.",
    )


def _addresses() -> tuple[IPv4Address, ...]:
    """What the network cards hold; what anyone in the world could reach is left out, and so is this machine itself."""
    held = {IPv4Address(ip.ip) for card in ifaddr.get_adapters() for ip in card.ips if ip.is_IPv4}
    usable = [one for one in held if not one.is_global and not one.is_loopback]
    first = leaves_from()
    return tuple(sorted(usable, key=lambda one: (str(one) != first, one.is_link_local, one)))


def leaves_from() -> str:
    """The address that this machine's traffic leaves from; no packet is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737), which nobody has
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])

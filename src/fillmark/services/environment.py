"""What the environment says of a server: its names, encryption, the proxies it believes, how much it does at once."""

import os
import re
from dataclasses import dataclass
from ipaddress import ip_address, ip_network

from fillmark.core.values.errors import CannotServe

WORKERS, THREADS = 2, 4
_MOST = 64
_PUBLIC_NAME = re.compile(r"([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z][a-z0-9-]{0,61}[a-z0-9]")
_NOBODYS_ENDINGS = ("local", "localhost", "internal", "lan", "home", "test", "invalid", "example", "home.arpa")
"""Names that no authority vouches for: a browser that was told to insist on encryption there is locked out for good."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """What was said about a server.

    Attributes:
        hosts: Names under which it may be asked, besides its own.
        is_https: Its pages travel encrypted, by itself or by a proxy before it.
        public_host: The public name that encryption holds for; none at home.
        proxies: The addresses and networks whose word about a visitor's address and encryption is believed.
        workers: How many processes answer.
        threads: How many requests each of them works on at once.
    """

    hosts: tuple[str, ...]
    is_https: bool
    public_host: str | None
    proxies: tuple[str, ...]
    workers: int
    threads: int


def read_stated() -> Stated:
    """What FILLMARK_HOSTS, _HTTPS, _PROXIES, _WORKERS and _THREADS say.

    Raises:
        CannotServe: one of them says what it cannot mean.
    """
    https = os.environ.get("FILLMARK_HTTPS", "").strip().lower()
    public_host = None if https in ("", "0", "1") else _public(https)
    hosts = _listed("FILLMARK_HOSTS")
    return Stated(
        hosts=(*hosts, *([public_host] if public_host and public_host not in hosts else ())),
        is_https=https not in ("", "0"),
        public_host=public_host,
        proxies=tuple(map(_proxy, _listed("FILLMARK_PROXIES"))),
        workers=_count("FILLMARK_WORKERS", WORKERS),
        threads=_count("FILLMARK_THREADS", THREADS),
    )


def _listed(name: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in os.environ.get(name, "").split(",") if one.strip())


def _public(name: str) -> str:
    if not _PUBLIC_NAME.fullmatch(name) or name.endswith(tuple("." + ending for ending in _NOBODYS_ENDINGS)):
        raise CannotServe(
            field="FILLMARK_HTTPS",
            got=f'FILLMARK_HTTPS is "{name[:80]}"',
            allowed="1 where the pages travel encrypted, or the public name that the certificate is for",
            remedy="At home set nothing and use `fillmark serve --lan`; for this machine alone, leave it out.",
        )
    return name


def _proxy(written: str) -> str:
    try:
        return str(ip_network(written) if "/" in written else ip_address(written))
    except ValueError:
        raise CannotServe(
            field="FILLMARK_PROXIES",
            got=f'FILLMARK_PROXIES names "{written[:80]}"',
            allowed="addresses and networks in digits, such as 10.20.30.40, or 10.20.0.0/16",
            remedy="Name the addresses from which the proxy asks this server, and no others.",
        ) from None


def _count(name: str, usual: int) -> int:
    written = os.environ.get(name, "").strip() or str(usual)
    if not (written.isascii() and written.isdigit() and 1 <= int(written[:9]) <= _MOST):
        raise CannotServe(
            field=name,
            got=f'{name} is "{written[:40]}"',
            allowed=f"a whole number from 1 to {_MOST}",
            remedy=f"Leave it out for {usual}.",
        )
    return int(written)

"""`fillmark serve`: the app on this machine or on the home network, ready to sign in to."""

import argparse
import contextlib
import io
import os
import socket
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import segno

from fillmark.cli.app import alone, choose_demo, prepare_tables, read_settings
from fillmark.cli.network import ALL_ADDRESSES, find_machine, leaves_from
from fillmark.cli.trust_page import TrustPage
from fillmark.core.values.errors import CannotServe
from fillmark.services.certificates import Certificates, keep_certificates
from fillmark.services.environment import Stated, read_stated
from fillmark.services.home import prepare_home, sweep_backups

LINK_HOLDS = timedelta(days=1)
_THIS_MACHINE = ("localhost", "127.0.0.1", "[::1]")
_LOOKS_AGAIN_SECONDS = 60.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What may be said behind `fillmark serve`."""
    parser.add_argument("--demo", action="store_true", help="with an invented household, in a place of its own")
    parser.add_argument("--port", type=int, default=8000, help="on which port (8000)")
    parser.add_argument("--lan", action="store_true", help="encrypted, for the phones on the home network")
    parser.add_argument("--trust-port", type=int, help="with --lan: where phones get its certificate (the port above)")
    parser.add_argument("--host", help="on which address (127.0.0.1; with --lan all of this machine's at home)")


def run(args: argparse.Namespace) -> int:
    """Bring the data up to date and serve until stopped.

    Raises:
        CannotServe: it cannot be served in the way that was asked for, or the database does not answer.
    """
    stated = _read_for(args)
    host = args.host or (ALL_ADDRESSES if args.lan else "127.0.0.1")
    trust_port = args.trust_port or args.port + 1
    for option, port in {"--port": args.port, **({"--trust-port": trust_port} if args.lan else {})}.items():
        if not _is_free(host, port):
            print(
                f"Port {port} on {host} is taken or may not be used. Allowed: a free port from 1024 to 65535. "
                f"Try {option} {port + 1 if 1023 < port < 65535 else 8000}.",
                file=sys.stderr,
            )
            return 2
    if args.lan:
        find_machine(host)  # before anything is made on the disk
    if args.demo:
        choose_demo()
    home = prepare_home()
    network = HomeNetwork(home=home, host=host, port=args.port, stated=stated.hosts) if args.lan else None
    certificates = network.keep_certificates() if network else None
    _tell_workers([*_names(host), *(certificates.hosts if certificates else ()), *stated.hosts])
    read_settings()
    prepare_tables()
    sweep_backups()
    with alone():
        token = _sign_in_token(is_demo=args.demo)

    from granian import Granian
    from granian.constants import Interfaces, SSLProtocols

    server = Granian(
        "fillmark.config.wsgi:application",
        address=host,
        port=args.port,
        interface=Interfaces.WSGI,
        workers=stated.workers,
        blocking_threads=stated.threads,
        websockets=False,
        respawn_failed_workers=True,
        workers_kill_timeout=5,  # a worker stopped while it starts would never hear of it
        log_enabled=False,
        ssl_cert=certificates.server_file if certificates else None,
        ssl_key=certificates.server_file if certificates else None,
        ssl_protocol_min=SSLProtocols.tls12,
    )
    if network and certificates:
        page = TrustPage(address=host, port=trust_port)
        words = network.words(certificates, token=token, trust_port=trust_port)
        _in_background(page.serve_forever)
        _in_background(lambda: network.look_again(page, certificates, reload=server.signal_handler_reload))
        page.show(certificates, app_address=network.address(certificates))
    else:
        address = f"http://{'localhost' if host in ('127.0.0.1', ALL_ADDRESSES) else host}:{args.port}"
        if stated.public_host:
            address = f"https://{stated.public_host}"
        words = f"Fillmark is at {address}\nSign in (once, within a day): {address}/sign-in/{token}"
    words += f"{_what_comes_first()}\n{_where_the_data_is(home)} Stop with Ctrl-C."
    answers_at = host if host != ALL_ADDRESSES else "127.0.0.1"
    server.on_startup(lambda: _in_background(lambda: _tell_when_it_answers(answers_at, args.port, words)))
    server.serve()
    return 0


@dataclass(frozen=True, kw_only=True)
class HomeNetwork:
    """Serving the household's phones: under which addresses, by which certificate, and what a person is told."""

    home: Path
    host: str
    port: int
    stated: tuple[str, ...] = ()

    def keep_certificates(self) -> Certificates:
        return keep_certificates(home=self.home, hosts=find_machine(self.host).hosts, now=datetime.now(UTC))

    def address(self, certificates: Certificates) -> str:
        """Where phones find the app, in digits: not every phone finds a machine by its name."""
        return f"https://{certificates.hosts[0]}:{self.port}"

    def words(self, certificates: Certificates, *, token: str, trust_port: int) -> str:
        app = self.address(certificates)
        trust = f"http://{certificates.hosts[0]}:{trust_port}"
        sign_in = f"{app}/sign-in/{token}"
        names = [name for name in certificates.hosts if name.endswith(".local")]
        return "\n".join(
            [
                "1. Once on each phone, let it trust this machine. Open this on the phone (it is not the app):",
                f"   {trust}",
                _drawn(trust),
                f"   It is called {certificates.authority_name}, and its SHA-256 fingerprint is",
                f"   {certificates.fingerprint}",
                *(
                    ["   It is new: a phone that trusted an earlier one is asked again."]
                    * certificates.is_new_authority
                ),
                "2. Sign in on the phone (once, within a day):",
                f"   {sign_in}",
                _drawn(sign_in),
                " and, where the network knows names, ".join(
                    [f"Fillmark is at {app}", *(f"https://{name}:{self.port}" for name in names)]
                ),
                "If a phone finds nothing: it must be in the same Wi-Fi, and not in the one for guests; and this "
                f"machine's firewall must let in {self.port} and {trust_port} (TCP) from the home network.",
            ]
        )

    def look_again(self, page: TrustPage, certificates: Certificates, *, reload: Callable[[], None]) -> None:
        """As long as the app serves: renew when this machine's addresses change or the certificate's end comes near."""
        while True:
            time.sleep(_LOOKS_AGAIN_SECONDS)
            certificates = self.renew(page, certificates, reload=reload)

    def renew(self, page: TrustPage, certificates: Certificates, *, reload: Callable[[], None]) -> Certificates:
        """Serve by a new certificate where the present one no longer fits; without a network, all stays as it is."""
        try:
            found = self.keep_certificates()
        except (CannotServe, OSError):
            return certificates
        if found.is_renewed or found.hosts != certificates.hosts:
            _tell_workers([*_names(self.host), *found.hosts, *self.stated])
            page.show(found, app_address=self.address(found))
            print(f"Fillmark is now at {self.address(found)}", flush=True)
            reload()
        return found


def _read_for(args: argparse.Namespace) -> Stated:
    """What the environment says, and what it says to the workers of a server that is started so.

    Raises:
        CannotServe: both cannot be meant.
    """
    stated = read_stated()
    if args.lan and stated.public_host:
        raise CannotServe(
            field="--lan",
            got=f"--lan, and FILLMARK_HTTPS for {stated.public_host}",
            allowed="the household's own authority at home, or a public name whose certificate a proxy has",
            remedy="Leave out one of them.",
        )
    if args.lan:
        os.environ["FILLMARK_HTTPS"] = "1"
    elif stated.is_https and not stated.proxies:
        os.environ["FILLMARK_PROXIES"] = "127.0.0.1,::1"
    return stated


def _tell_workers(names: list[str]) -> None:
    """Under which names every worker that starts from now on may be asked."""
    os.environ["FILLMARK_HOSTS"] = ",".join(names)


def _in_background(work: Callable[[], object]) -> None:
    threading.Thread(target=work, daemon=True).start()


def _drawn(address: str) -> str:
    """An address for a phone's camera, in the letters of a terminal."""
    out = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(out, border=2, compact=True)
    lines = out.getvalue().splitlines()
    if sys.stdout.isatty():  # light on dark, whatever colors the terminal has
        lines = [f"\033[97;40m{line}\033[0m" for line in lines]
    return "\n".join(f"   {line}" for line in lines)


def _tell_when_it_answers(host: str, port: int, words: str) -> None:
    """The server says that it has started before it answers; a person who is told an address opens it at once."""
    while True:
        time.sleep(0.05)
        with contextlib.suppress(OSError), socket.create_connection((host, port), timeout=1):
            break
    print(words, flush=True)


def _sign_in_token(*, is_demo: bool) -> str:
    """A link for a lead; on an empty record, of a household opened with this machine's time zone."""
    from fillmark.services import demonstration, household, sign_in

    now = datetime.now(UTC)
    lead = demonstration.bring_up_to_date(now=now) if is_demo else household.find_or_open_first()
    return sign_in.make_link(
        household_id=lead.household_id, by=lead.id, person_id=lead.id, now=now, valid_for=LINK_HOLDS
    )


def _where_the_data_is(home: Path) -> str:
    """Where the record lies; on PostgreSQL, what a second server of the same database needs."""
    if "FILLMARK_DATABASE" not in os.environ:
        return f"The data is in {home}."
    key = (
        "" if "FILLMARK_SECRET_KEY" in os.environ else f" A second server needs this one's key: {home / 'secret_key'}."
    )
    return f"The data is in the database that FILLMARK_DATABASE names.{key}"


def _what_comes_first() -> str:
    """The next step of a home without an animal; nothing where there is one."""
    from fillmark.services import household

    lead = household.find_first_lead()
    if lead and household.find_animals(household_id=lead.household_id):
        return ""
    return "\nNo animal yet: sign in and take in your care plan file, or run `fillmark take-in FILE`."


def _is_free(host: str, port: int) -> bool:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError):
            return False
    return True


def _names(host: str) -> list[str]:
    """Under which names this machine may be asked: its own, and where it listens to the network, its address there."""
    names = list(_THIS_MACHINE)
    if host not in ("127.0.0.1", "localhost", "::1"):
        name = socket.gethostname()
        names += [name, f"{name}.local", host, leaves_from()]
    return names

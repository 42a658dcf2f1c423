"""`fillmark serve`: the app on this machine, ready to sign in to."""

import argparse
import contextlib
import os
import socket
import sys
import threading
import time
from datetime import UTC, datetime, timedelta

from fillmark.services.home import data_home, prepare_home

SETTINGS = "fillmark.config.settings"
LINK_HOLDS = timedelta(days=1)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What may be said behind `fillmark serve`."""
    parser.add_argument("--demo", action="store_true", help="with an invented household, in a place of its own")
    parser.add_argument("--port", type=int, default=8000, help="on which port (8000)")
    parser.add_argument("--host", default="127.0.0.1", help="on which address; 0.0.0.0 for the whole home network")


def run(args: argparse.Namespace) -> int:
    """Bring the data up to date and serve until stopped."""
    if not _is_free(args.host, args.port):
        print(
            f"Port {args.port} on {args.host} is taken or may not be used. Allowed: a free port from 1024 to 65535. "
            f"Try --port {args.port + 1 if 1023 < args.port < 65535 else 8000}.",
            file=sys.stderr,
        )
        return 2
    if args.demo:
        os.environ["FILLMARK_HOME"] = str(data_home() / "demo")
        os.environ.pop("FILLMARK_DATABASE", None)
    os.environ["FILLMARK_HOSTS"] = ",".join(_names(args.host))
    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    home = prepare_home()

    import django  # only now: it reads the environment set above

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    address = f"http://{'localhost' if args.host in ('127.0.0.1', '0.0.0.0') else args.host}:{args.port}"  # noqa: S104
    token = _sign_in_token(is_demo=args.demo)

    from granian import Granian
    from granian.constants import Interfaces

    server = Granian(
        "fillmark.config.wsgi:application",
        address=args.host,
        port=args.port,
        interface=Interfaces.WSGI,
        workers=2,
        blocking_threads=4,
        websockets=False,
        respawn_failed_workers=True,
        workers_kill_timeout=5,  # a worker stopped while it starts would never hear of it
        log_enabled=False,
    )
    words = (
        f"Fillmark is at {address}\n"
        f"Sign in (once, within a day): {address}/sign-in/{token}\n"
        f"The data is in {home}. Stop with Ctrl-C."
    )
    server.on_startup(
        threading.Thread(
            target=_tell_when_it_answers,
            args=(address.removeprefix("http://").rpartition(":")[0], args.port, words),
            daemon=True,
        ).start
    )
    server.serve()
    return 0


def _tell_when_it_answers(host: str, port: int, words: str) -> None:
    """The server says that it has started before it answers; a person who is told an address opens it at once."""
    while True:
        time.sleep(0.05)
        with contextlib.suppress(OSError), socket.create_connection((host, port), timeout=1):
            break
    print(words, flush=True)


def _sign_in_token(*, is_demo: bool) -> str:
    """A link for a lead; on an empty record, of a household opened with this machine's time zone."""
    from fillmark.services import demonstration, households, sign_in

    now = datetime.now(UTC)
    lead = demonstration.bring_up_to_date(now=now) if is_demo else households.find_or_open_first()
    return sign_in.make_link(
        household_id=lead.household_id, by=lead.id, person_id=lead.id, now=now, valid_for=LINK_HOLDS
    )


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
    names = ["localhost", "127.0.0.1", "[::1]"]
    if host not in ("127.0.0.1", "localhost", "::1"):
        name = socket.gethostname()
        names += [name, f"{name}.local", host, _network_address()]
    return names


def _network_address() -> str:
    """This machine's address on the network; no packet is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])

"""A PostgreSQL server of the tests' own: made in a temporary directory, on a local socket only, gone at the end."""

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import psycopg


def find_binaries() -> Path | None:
    """Where the newest installed server's programs are."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[4]))
    if found:
        return found[-1].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


def _as_ordinary_user() -> tuple[list[str], pwd.struct_passwd | None]:
    """The server refuses to run as root: then another user runs it."""
    if os.geteuid() != 0:
        return [], None
    for name in ("postgres", "nobody"):
        try:
            user = pwd.getpwnam(name)
        except KeyError:
            continue
        return ["setpriv", f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups"], user
    raise RuntimeError("No user to run PostgreSQL as. Add a user named postgres.")


_SMALL_LOG = ("--wal-segsize=4",)
"""Its log grows by small files [MB]: a server that is made for a test is made sooner."""


@dataclass(frozen=True, kw_only=True)
class Postgres:
    """A server of our own.

    Attributes:
        place: Its directory.
        binaries: Where its programs are.
        prefix: How they are run as its user.
        options: What it is started with.
    """

    place: Path
    binaries: Path
    prefix: tuple[str, ...]
    options: str

    @property
    def address(self) -> str:
        """The connection string, without a database name."""
        return f"host={self.place / 's'} user=fillmark"

    def call(self, program: str, *words: str) -> None:
        environment = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"}
        command = [*self.prefix, str(self.binaries / program), "-D", str(self.place / "data"), *words]
        done = subprocess.run(command, env=environment, cwd="/", capture_output=True, text=True)
        if done.returncode:
            raise RuntimeError(f"{program} failed: {done.stdout}{done.stderr}")

    def start(self) -> None:
        """Start it; after a kill it may take a moment until what it left is gone."""
        words = ("-w", "-s", "-o", self.options, "-l", str(self.place / "data" / "server.log"), "start")
        deadline = time.monotonic() + 30
        while True:
            try:
                self.call("pg_ctl", *words)
            except RuntimeError:
                if time.monotonic() > deadline:
                    raise
                time.sleep(0.2)
            else:
                (self.place / "s").chmod(0o755)
                return

    def bring_back(self) -> None:
        """Start it where it ended by itself, as it does without space for its log."""
        try:
            self.call("pg_ctl", "status")
        except RuntimeError:
            self.start()

    def stop(self, how: Literal["fast", "immediate", "kill"]) -> None:
        """End it: with the sessions rolled back, without even that, or by the system without a word to it."""
        if how != "kill":
            self.call("pg_ctl", "-w", "-s", "-m", how, "stop")
            return
        pid = int((self.place / "data" / "postmaster.pid").read_text().split()[0])
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


@contextmanager
def own_postgres(
    *, is_durable: bool = False, disk: Callable[[Path], AbstractContextManager[None]] = nullcontext
) -> Iterator[Postgres]:
    """A running server.

    Args:
        is_durable: Whether it waits for the disk, as in use. Where nothing kills it, its data are thrown away anyway.
        disk: What its directory lies on.
    """
    binaries = find_binaries()
    if binaries is None:
        raise RuntimeError("PostgreSQL is missing. Install it: apt-get install postgresql")
    prefix, user = _as_ordinary_user()
    # A short path: a socket's may hold about a hundred characters.
    place = Path(tempfile.mkdtemp(prefix="fm-pg-", dir="/tmp"))
    place.chmod(0o755)
    options = f"-c listen_addresses='' -c unix_socket_directories={place / 's'} -c max_connections=100"
    if not is_durable:
        options += " -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
    server = Postgres(place=place, binaries=binaries, prefix=tuple(prefix), options=options)
    try:
        with disk(place):
            for directory in (place / "data", place / "s"):
                directory.mkdir(mode=0o700)
                if user:
                    os.chown(directory, user.pw_uid, user.pw_gid)
            server.call("initdb", "-U", "fillmark", "-A", "trust", "-E", "UTF8", "-N", "--no-instructions", *_SMALL_LOG)
            server.start()
            yield server
            server.stop("immediate")
    finally:
        shutil.rmtree(place, ignore_errors=True)


@contextmanager
def running_postgres(*, is_durable: bool = False) -> Iterator[str]:
    """A running server; what comes out is a connection string without a database name.

    Args:
        is_durable: As in `own_postgres`.
    """
    with own_postgres(is_durable=is_durable) as server:
        yield server.address


def new_database(server: str, name: str) -> str:
    """A new empty database; what comes out is its connection string."""
    with psycopg.connect(f"{server} dbname=postgres", autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')  # type: ignore[call-overload]
    return f"{server} dbname={name}"

"""A PostgreSQL server of the tests' own: made in a temporary directory, on a local socket only, gone at the end."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

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


@contextmanager
def running_postgres(*, is_durable: bool = False) -> Iterator[str]:
    """A running server; what comes out is a connection string without a database name.

    Args:
        is_durable: Whether it waits for the disk, as in use. No test takes the power away from it, and its data are
            thrown away; what is measured waits.
    """
    binaries = find_binaries()
    if binaries is None:
        raise RuntimeError("PostgreSQL is missing. Install it: apt-get install postgresql")
    prefix, user = _as_ordinary_user()
    # A short path: a socket's may hold about a hundred characters.
    place = Path(tempfile.mkdtemp(prefix="fm-pg-", dir="/tmp"))
    place.chmod(0o755)
    data, sockets = place / "data", place / "s"
    for directory in (data, sockets):
        directory.mkdir(mode=0o700)
        if user:
            os.chown(directory, user.pw_uid, user.pw_gid)
    environment = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"}

    def call(*words: str) -> None:
        done = subprocess.run([*prefix, *words], env=environment, cwd="/", capture_output=True, text=True)
        if done.returncode:
            raise RuntimeError(f"{words[0]} failed: {done.stdout}{done.stderr}")

    call(
        f"{binaries}/initdb", "-D", str(data), "-U", "fillmark", "-A", "trust", "-E", "UTF8", "-N", "--no-instructions"
    )
    options = f"-c listen_addresses='' -c unix_socket_directories={sockets} -c max_connections=100"
    if not is_durable:
        options += " -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
    control = [f"{binaries}/pg_ctl", "-D", str(data), "-w", "-s"]
    try:
        call(*control, "-o", options, "-l", f"{data}/server.log", "start")
        sockets.chmod(0o755)
        yield f"host={sockets} user=fillmark"
        call(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(place, ignore_errors=True)


def new_database(server: str, name: str) -> str:
    """A new empty database; what comes out is its connection string."""
    with psycopg.connect(f"{server} dbname=postgres", autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')  # type: ignore[call-overload]
    return f"{server} dbname={name}"

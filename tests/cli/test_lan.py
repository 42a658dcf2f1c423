"""`fillmark serve --lan`: encrypted for the phones at home, with a page that says how to trust it and no more."""

import os
import re
import ssl
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from hashlib import sha256
from http.client import HTTPConnection, HTTPSConnection
from ipaddress import IPv4Address
from pathlib import Path
from threading import Thread

import numpy
import pytest
import zxingcpp

from fillmark.cli.network import find_machine
from fillmark.cli.serve import HomeNetwork
from fillmark.cli.trust_page import CERTIFICATE_PATH, TrustPage
from fillmark.core.values.errors import CannotServe
from fillmark.services.certificates import keep_certificates
from tests.cli.test_serve import serving
from tests.support.processes import Record
from tests.support.servers import free_port

HERE = "127.0.0.1"


def read_code(drawn: str) -> str:
    """What a phone's camera reads of a code drawn in half blocks, light where a block stands."""
    halves = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
    rows = [[halves[letter][half] for letter in line] for line in drawn.splitlines() for half in (0, 1)]
    picture = numpy.kron(numpy.array(rows, dtype=numpy.uint8), numpy.ones((4, 4), dtype=numpy.uint8))
    return zxingcpp.read_barcodes(numpy.pad(picture, 16, constant_values=255))[0].text


def codes_in(said: str) -> list[str]:
    """The codes in what was printed, read."""
    drawn = re.findall(r"(?:^   [█▀▄ ]{20,}\n)+", said, re.MULTILINE)
    return [read_code(re.sub(r"^   ", "", one, flags=re.MULTILINE)) for one in drawn]


def fetch(port: int, path: str, method: str = "GET") -> tuple[int, dict[str, str], bytes]:
    connection = HTTPConnection(HERE, port, timeout=60)
    try:
        connection.request(method, path)
        answer = connection.getresponse()
        return answer.status, dict(answer.headers), answer.read()
    finally:
        connection.close()


def test_a_phone_is_led_from_the_terminal_to_the_app(tmp_path: Path) -> None:
    """The codes hold the printed addresses. Trusting the certificate that is served there, and nothing else, a phone
    signs in under each name, and its cookies never travel in the open.
    """
    trust_port = free_port()
    with serving(Record(tmp_path), "--lan", "--host", HERE, "--trust-port", str(trust_port)) as (said, port, _):
        trust, sign_in = codes_in(said)
        assert trust == f"http://{HERE}:{trust_port}"
        assert sign_in.startswith(f"https://{HERE}:{port}/sign-in/")
        assert f"{trust}\n" in said
        assert f"{sign_in}\n" in said
        assert f"firewall must let in {port} and {trust_port} (TCP)" in said

        _, _, certificate = fetch(trust_port, CERTIFICATE_PATH)
        assert sha256(certificate).digest().hex(" ").upper() in said
        only_it = ssl.create_default_context(cadata=certificate)
        path = sign_in.partition(f":{port}")[2] + "/"
        for name in (HERE, "localhost"):
            connection = HTTPSConnection(name, port, context=only_it, timeout=60)
            connection.request("GET", path)
            page = connection.getresponse()
            token = re.search(rb'csrfmiddlewaretoken" value="([^"]+)"', page.read())
            assert token
            assert "Strict-Transport-Security" not in page.headers
            headers = {
                "Cookie": page.headers["Set-Cookie"].partition(";")[0],
                "Origin": f"https://{name}:{port}",
                "Content-Type": "application/x-www-form-urlencoded",
            }
            connection.request("POST", path, f"csrfmiddlewaretoken={token[1].decode()}", headers)
            answer = connection.getresponse()
            cookies = answer.headers.get_all("Set-Cookie") or []
            connection.close()
            # The first name uses the link up: the second is refused for that, no longer for its address or origin.
            assert answer.status == (302 if name == HERE else 403)
            assert all("; Secure" in cookie for cookie in [*cookies, page.headers["Set-Cookie"]])
            assert any(cookie.startswith("sessionid=") for cookie in cookies) == (name == HERE)


@pytest.fixture
def trust_page(tmp_path: Path) -> Iterator[int]:
    """The port of a running page."""
    kept = keep_certificates(home=tmp_path, hosts=("192.168.1.20", HERE), now=datetime.now(UTC))
    page = TrustPage(address=HERE, port=0)
    page.show(kept, app_address="https://192.168.1.20:8000")
    thread = Thread(target=page.serve_forever)
    thread.start()
    yield page.server_address[1]
    page.shutdown()
    thread.join()
    page.server_close()


@pytest.mark.hazard("H34")
def test_the_page_over_plain_http_serves_the_certificate_and_nothing_else(trust_page: int) -> None:
    """No screen, no file, no key, no cookie, nothing to send to; a certificate as phones take it."""
    status, headers, body = fetch(trust_page, "/")
    assert status == 200
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert b"Certificate Trust Settings" in body
    assert b"CA certificate" in body
    assert b"https://192.168.1.20:8000" in body
    status, headers, certificate = fetch(trust_page, CERTIFICATE_PATH)
    assert (status, headers["Content-Type"]) == (200, "application/x-x509-ca-cert")
    assert ssl.create_default_context(cadata=certificate).cert_store_stats()["x509_ca"] == 1
    for path in (
        "/sign-in/",
        "/entries",
        "/authority/key.pem",
        "/../secret_key",
        "/%2e%2e/server.pem",
        "/?",
        "/static/",
    ):
        status, headers, body = fetch(trust_page, path)
        assert (status, body) == (404, b"Nothing is here.\n"), path
        assert "Set-Cookie" not in headers
    for method in ("POST", "PUT", "DELETE", "OPTIONS"):
        assert fetch(trust_page, "/", method)[0] == 501


def test_what_changes_while_it_serves_is_taken_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A lost certificate is made anew, the page shows it, the workers start again; otherwise nothing happens."""
    monkeypatch.setenv("FILLMARK_HOSTS", "")  # put back afterwards
    at_home = HomeNetwork(home=tmp_path, host=HERE, port=8000)
    kept = at_home.keep_certificates()
    page = TrustPage(address=HERE, port=0)
    page.show(kept, app_address="")
    reloads: list[str] = []
    kept.server_file.unlink()

    renewed = at_home.renew(page, kept, reload=lambda: reloads.append("reloaded"))
    again = at_home.renew(page, renewed, reload=lambda: reloads.append("reloaded"))
    page.server_close()

    assert reloads == ["reloaded"]
    assert (renewed.is_renewed, again.is_renewed) == (True, False)
    assert renewed.fingerprint == kept.fingerprint
    assert set(renewed.hosts) <= set(os.environ["FILLMARK_HOSTS"].split(","))
    assert b"https://127.0.0.1:8000" in page.served["/"][1]
    assert capsys.readouterr().out == "Fillmark is now at https://127.0.0.1:8000\n"


@pytest.mark.parametrize(
    ("host", "got"),
    [
        ("8.8.8.8", "The address 8.8.8.8, which is not one of a home network"),
        ("224.0.0.1", "The address 224.0.0.1, which is not one of a home network"),
        ("kitchen", '"kitchen" for an address'),
        ("::1", '"::1" for an address'),
    ],
)
def test_an_address_that_is_not_of_a_home_network_is_refused(tmp_path: Path, host: str, got: str) -> None:
    """The app is for the household, not for the internet."""
    with pytest.raises(CannotServe) as refused:
        find_machine(host)

    assert str(refused.value) == (
        f"{got}. Allowed: an address of this machine on the home network, such as 192.168.1.20. "
        "Leave --host out, and all of them are used."
    )


def test_this_machine_is_found_by_its_addresses_and_names() -> None:
    """None that the internet could reach, and always this machine's own."""
    found = find_machine(HERE)

    assert found.addresses == (IPv4Address(HERE),)
    assert {"localhost", HERE} <= set(found.hosts)
    assert found.hosts[0] == HERE
    try:
        addresses = find_machine().addresses
    except CannotServe:  # a machine without a network
        addresses = ()
    assert not any(address.is_global or address.is_loopback for address in addresses)


def test_a_refused_start_leaves_nothing_on_the_disk(tmp_path: Path) -> None:
    """One message and exit code 2, for an address and for a port."""
    record = Record(tmp_path / "data")
    for words, said in (
        (("--host", "8.8.8.8", "--port", "0"), "is taken or may not be used"),
        (("--port", str(free_port()), "--trust-port", "70000"), "Port 70000 on 0.0.0.0 is taken or may not be used"),
    ):
        done = subprocess.run(
            [sys.executable, "-m", "fillmark.cli.main", "serve", "--lan", *words],
            env=record.environment,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 2
        assert said in done.stderr
        assert "Traceback" not in done.stderr
    assert not (tmp_path / "data").exists()


def test_without_lan_nothing_is_encrypted_and_nothing_is_made(tmp_path: Path) -> None:
    """On this machine itself, a browser keeps the app over plain http too."""
    with serving(Record(tmp_path)) as (said, port, _):
        assert f"http://localhost:{port}" in said
        assert fetch(port, "/sign-in/")[0] == 200
    assert not (tmp_path / "authority").exists()

"""The household's own certificate authority, and the certificate by which phones know this machine.

Phones keep the app for times without a signal only over a connection they trust. The authority is made once. It can
vouch for nothing but home networks, names that end in .local and this machine, so that its key is worth little to a
thief. What phones ask of a certificate stands in docs/decisions/0014-a-household-vouches-for-its-machine.md.
"""

import os
import secrets
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from ipaddress import IPv4Address, IPv4Network
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fillmark.core.values.errors import CannotServe

AUTHORITY_HOLDS = timedelta(days=3650)
SERVER_HOLDS = timedelta(days=397)
RENEWED_BEFORE = timedelta(days=30)
_CLOCKS_BEHIND = timedelta(days=1)
HOME_NETWORKS = tuple(
    IPv4Network(network)
    for network in (
        "10.0.0.0/8",  # RFC 1918
        "172.16.0.0/12",  # RFC 1918
        "192.168.0.0/16",  # RFC 1918
        "169.254.0.0/16",  # RFC 3927
        "127.0.0.0/8",  # RFC 1122
    )
)
HOME_NAMES = ("local", "localhost")  # RFC 6762, RFC 6761


@dataclass(frozen=True, kw_only=True, slots=True)
class Certificates:
    """What the app is served with, and what a phone is asked to trust.

    Attributes:
        authority: The authority's certificate (DER).
        authority_name: As what a phone lists it.
        server_file: The server's certificate and its key, in one file that only this user may read.
        hosts: The names and addresses of this machine that the server's certificate vouches for, in the order asked.
        ends_at: When it ends.
        is_new_authority: The authority was made just now: no phone knows it yet.
        is_renewed: The server's certificate was made just now.
    """

    authority: bytes
    authority_name: str
    server_file: Path
    hosts: tuple[str, ...]
    ends_at: datetime
    is_new_authority: bool
    is_renewed: bool

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the authority's certificate, in pairs, as phones show it."""
        return sha256(self.authority).digest().hex(" ").upper()


@dataclass(frozen=True, kw_only=True, slots=True)
class _Authority:
    certificate: x509.Certificate
    key: EllipticCurvePrivateKey

    @property
    def name(self) -> str:
        return str(self.certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)

    def may_vouch_for(self, host: str) -> bool:
        """Whether its name constraints let it (RFC 5280, 4.2.1.10)."""
        permitted = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees
        if _is_address(host):
            networks = [tree.value for tree in permitted or () if isinstance(tree, x509.IPAddress)]
            return any(IPv4Address(host) in network for network in networks if isinstance(network, IPv4Network))
        names = [tree.value for tree in permitted or () if isinstance(tree, x509.DNSName)]
        return any(("." + host).endswith("." + name) for name in names)


def keep_certificates(*, home: Path, hosts: Sequence[str], now: datetime) -> Certificates:
    """The household's certificates for this machine, made where they are missing or the server's no longer fits.

    Args:
        home: The data directory.
        hosts: The names and IPv4 addresses under which this machine is asked for, the first one the most important.
        now: The present instant.
    Raises:
        CannotServe: the files are damaged, or the authority may not vouch for the first of `hosts`.
    """
    authority, is_new = _keep_authority(home, hosts, now)
    if not authority.may_vouch_for(hosts[0]):
        raise CannotServe(
            field="--lan",
            got=f"The address {hosts[0]}, which lies outside what this household's certificate authority may vouch for",
            allowed="a private address of a home network, or one that this machine had when the authority was made",
            remedy=f"Move {home / _FOLDER} away: a new authority is made, and each phone is told of it once.",
        )
    wanted = tuple(host for host in hosts if authority.may_vouch_for(host))
    server_file = home / "server.pem"
    present = _read_certificate(server_file)
    is_fit = (
        present is not None
        and _is_from(present, authority)
        and set(wanted) <= set(_hosts_of(present))
        and present.not_valid_after_utc - now > RENEWED_BEFORE
    )
    if present is None or not is_fit:
        present = _make_server(server_file, authority, wanted, now)
    return Certificates(
        authority=authority.certificate.public_bytes(Encoding.DER),
        authority_name=authority.name,
        server_file=server_file,
        hosts=wanted,
        ends_at=present.not_valid_after_utc,
        is_new_authority=is_new,
        is_renewed=not is_fit,
    )


_FOLDER = "authority"


def _keep_authority(home: Path, hosts: Sequence[str], now: datetime) -> tuple[_Authority, bool]:
    folder = home / _FOLDER
    found = _read_authority(folder)
    if found is not None and found.certificate.not_valid_after_utc - now > SERVER_HOLDS:
        return found, False
    made = _make_authority(hosts, now)
    # Key and certificate appear together, or another start was faster and its pair is used.
    beside = Path(tempfile.mkdtemp(prefix=f"{_FOLDER}-", dir=home))
    _write_private(beside / "key.pem", _pem(made.key))
    _write_private(beside / "certificate.pem", made.certificate.public_bytes(Encoding.PEM))
    if found is not None:
        folder.rename(home / f"{_FOLDER}-until-{now:%Y-%m-%d}-{secrets.token_hex(2)}")
    try:
        beside.rename(folder)
    except OSError:
        other = _read_authority(folder)
        if other is None:
            raise
        for part in beside.iterdir():
            part.unlink()
        beside.rmdir()
        return other, False
    return made, True


def _read_authority(folder: Path) -> _Authority | None:
    if not folder.exists():
        return None
    try:
        key = load_pem_private_key((folder / "key.pem").read_bytes(), password=None)
        certificate = x509.load_pem_x509_certificate((folder / "certificate.pem").read_bytes())
        if not isinstance(key, EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
            raise ValueError
    except (OSError, ValueError, TypeError):
        raise CannotServe(
            field="--lan",
            got=f"A certificate authority in {folder} that cannot be read, or not as a pair",
            allowed="key.pem and certificate.pem as they were made",
            remedy="Put them back from a copy, or move the folder away: a new authority is made, and each phone is "
            "told of it once.",
        ) from None
    return _Authority(certificate=certificate, key=key)


def _make_authority(hosts: Sequence[str], now: datetime) -> _Authority:
    key = generate_private_key(SECP256R1())
    machine = next((host for host in hosts if not _is_address(host) and host not in HOME_NAMES), "this machine")
    name = _named(f"Fillmark at {machine.partition('.')[0]} ({now:%Y-%m-%d})")
    permitted: list[x509.GeneralName] = [x509.DNSName(one) for one in HOME_NAMES]
    permitted += [x509.IPAddress(network) for network in HOME_NETWORKS]
    for host in hosts:
        if _is_address(host):
            address = IPv4Address(host)
            if not any(address in network for network in HOME_NETWORKS):
                permitted.append(x509.IPAddress(IPv4Network(address)))
        elif host.rpartition(".")[2] not in HOME_NAMES:
            permitted.append(x509.DNSName(host))
    certificate = (
        _begin(name, name, key, now, AUTHORITY_HOLDS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(key_cert_sign=True), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .sign(key, SHA256())
    )
    return _Authority(certificate=certificate, key=key)


def _make_server(file: Path, authority: _Authority, hosts: Sequence[str], now: datetime) -> x509.Certificate:
    key = generate_private_key(SECP256R1())
    issuer = authority.certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    certificate = (
        _begin(_named("Fillmark"), authority.certificate.subject, key, now, SERVER_HOLDS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_general_name(host) for host in hosts]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(issuer), critical=False)
        .sign(authority.key, SHA256())
    )
    _write_private(file, certificate.public_bytes(Encoding.PEM) + _pem(key))
    return certificate


def _begin(
    subject: x509.Name, issuer: x509.Name, key: EllipticCurvePrivateKey, now: datetime, holds: timedelta
) -> x509.CertificateBuilder:
    # A phone whose clock is a little behind must not find a certificate of tomorrow.
    return (
        x509.CertificateBuilder(subject_name=subject, issuer_name=issuer, public_key=key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_BEHIND)
        .not_valid_after(now - _CLOCKS_BEHIND + holds)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _usage(*, key_cert_sign: bool = False, digital_signature: bool = False) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=digital_signature,
        key_cert_sign=key_cert_sign,
        crl_sign=key_cert_sign,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:64])])


def _general_name(host: str) -> x509.GeneralName:
    return x509.IPAddress(IPv4Address(host)) if _is_address(host) else x509.DNSName(host)


def _is_address(host: str) -> bool:
    try:
        IPv4Address(host)
    except ValueError:
        return False
    return True


def _hosts_of(certificate: x509.Certificate) -> tuple[str, ...]:
    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return tuple(str(name.value) for name in names)


def _is_from(certificate: x509.Certificate, authority: _Authority) -> bool:
    try:
        certificate.verify_directly_issued_by(authority.certificate)
    except (InvalidSignature, TypeError, ValueError):
        return False
    return True


def _read_certificate(file: Path) -> x509.Certificate | None:
    """The server's certificate; none where it is missing or damaged, for then a new one is made."""
    try:
        content = file.read_bytes()
        load_pem_private_key(content[content.index(b"-----BEGIN PRIVATE") :], password=None)
        return x509.load_pem_x509_certificate(content)
    except (OSError, ValueError):
        return None


def _pem(key: EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _write_private(file: Path, content: bytes) -> None:
    """Written beside and renamed: what is there is whole, and never readable by others."""
    descriptor, beside = tempfile.mkstemp(prefix=f"{file.name}-", dir=file.parent)  # with mode 0600
    with os.fdopen(descriptor, "wb") as written:
        written.write(content)
        written.flush()
        os.fsync(written.fileno())
    Path(beside).replace(file)

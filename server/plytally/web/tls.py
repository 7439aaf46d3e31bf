"""The shop's own certificate authority, and the certificate the server shows to phones.

A phone has microphone, worker and storage only over TLS, and no public authority certifies
`shop.local`. So the first start makes an authority of the shop's own: the phone is told once to trust
it, and can check its fingerprint. It lives ten years; the leaf it signs at most 397 days, made anew
when the names of the machine change or its end comes near.

The authority can vouch only for names and addresses of private networks (RFC 5280, 4.2.1.10): were its
key stolen, it could not be used to pose as a public site.
"""

from __future__ import annotations

import ipaddress
import ssl
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from plytally.store.disk import RealDisk, ensure_folder, replace_file
from plytally.web.names import Names

AUTHORITY_DAYS = 3652
LEAF_DAYS = 397
"""The longest that phones' browsers accept: 398 days, less one for clocks that differ."""

RENEW_DAYS = 30
SLOW_CLOCK = timedelta(days=1)
"""Certificates begin this much earlier, for a phone whose clock is behind."""

PRIVATE_DOMAINS = ("localhost", "local", "lan", "home", "home.arpa", "internal")
PRIVATE_NETWORKS = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "100.64.0.0/10", "127.0.0.0/8",
    "fc00::/7", "fe80::/10", "::1/128",
)  # fmt: skip


class TlsError(Exception):
    """Keys or names that cannot serve; the message says what was found and what to do."""


@dataclass(frozen=True)
class Authority:
    """The shop's certificate authority: its certificate and the key that signs."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate (DER), 64 hex digits in lower case."""
        return self.certificate.fingerprint(hashes.SHA256()).hex()

    @property
    def pem(self) -> bytes:
        """The certificate as PEM, for a phone to trust."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)


def authority(folder: Path, names: Names, now: datetime) -> Authority:
    """The authority kept in `folder`, made at the first call.

    `names` at the first call join what the authority may ever vouch for.
    """
    certificate_file, key_file = folder / "authority.pem", folder / "authority.key"
    if certificate_file.exists() or key_file.exists():
        return _sound(Authority(_read_certificate(certificate_file), _read_key(key_file)), folder, now)
    made = _make_authority(names, now)
    _write(key_file, _key_pem(made.key))
    _write(certificate_file, made.pem)
    return made


def ensure_leaf(folder: Path, signer: Authority, names: Names, now: datetime) -> bool:
    """Make `leaf.pem` and `leaf.key` in `folder` if they are missing, wrong for `names` or near their end.

    True if they were made. Raises TlsError if the authority may not vouch for one of the names.
    """
    chain, key_file = folder / "leaf.pem", folder / "leaf.key"
    if chain.exists() and key_file.exists() and _still_good(_read_certificate(chain), signer, names, now):
        return False
    key = ec.generate_private_key(ec.SECP256R1())
    leaf = _make_leaf(signer, key, names, now)
    _write(key_file, _key_pem(key))
    _write(chain, leaf.public_bytes(serialization.Encoding.PEM) + signer.pem)
    return True


def server_context(folder: Path) -> ssl.SSLContext:
    """How the server speaks TLS with the leaf in `folder`: 1.2 or newer, HTTP/1.1."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.set_alpn_protocols(["http/1.1"])
    context.load_cert_chain(folder / "leaf.pem", folder / "leaf.key")
    return context


def outside(signer: Authority, names: Names) -> tuple[str, ...]:
    """The names and addresses for which the authority may not vouch."""
    constraints = signer.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = constraints.permitted_subtrees or []
    domains = [tree.value for tree in permitted if isinstance(tree, x509.DNSName)]
    networks = [tree.value for tree in permitted if isinstance(tree, x509.IPAddress)]
    bad_names = [n for n in names.dns if not any(n == d or n.endswith(f".{d}") for d in domains)]
    return (*bad_names, *(a for a in names.addresses if not _within(a, networks)))


def _within(address: str, networks: Iterable[object]) -> bool:
    return any(ipaddress.ip_address(address) in network for network in networks)  # type: ignore[operator]


def _make_authority(names: Names, now: datetime) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    mark = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    title = _titled(f"plytally shop {names.dns[0][:24]} {mark.digest.hex()[:8]}")
    domains = dict.fromkeys((*PRIVATE_DOMAINS, *names.dns))
    trees: list[x509.GeneralName] = [x509.DNSName(name) for name in domains]
    trees += [x509.IPAddress(ipaddress.ip_network(network)) for network in PRIVATE_NETWORKS]
    builder = (
        _builder(title, title, key.public_key(), now, now + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(trees, None), critical=True)
        .add_extension(mark, critical=False)
    )
    return Authority(builder.sign(key, hashes.SHA256()), key)


def _make_leaf(
    signer: Authority, key: ec.EllipticCurvePrivateKey, names: Names, now: datetime
) -> x509.Certificate:
    if beyond := outside(signer, names):
        raise TlsError(
            f"the shop's authority is for private names and may not vouch for {', '.join(beyond)}: serve "
            "under a name that ends in .local, .lan or .home.arpa, or by an address of the shop's network"
        )
    alternatives: list[x509.GeneralName] = [x509.DNSName(name) for name in names.dns]
    alternatives += [x509.IPAddress(ipaddress.ip_address(address)) for address in names.addresses]
    end = min(now + timedelta(days=LEAF_DAYS) - SLOW_CLOCK, signer.certificate.not_valid_after_utc)
    public = signer.key.public_key()
    builder = (
        _builder(_titled("plytally"), signer.certificate.subject, key.public_key(), now, end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(public), critical=False)
    )
    return builder.sign(signer.key, hashes.SHA256())


def _titled(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime, end: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - SLOW_CLOCK)
        .not_valid_after(end)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _still_good(leaf: x509.Certificate, signer: Authority, names: Names, now: datetime) -> bool:
    alternatives = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    dns = set(alternatives.get_values_for_type(x509.DNSName))
    addresses = {str(address) for address in alternatives.get_values_for_type(x509.IPAddress)}
    return (
        leaf.issuer == signer.certificate.subject
        and leaf.not_valid_before_utc <= now <= leaf.not_valid_after_utc - timedelta(days=RENEW_DAYS)
        and dns == set(names.dns)
        and addresses == set(names.addresses)
    )


def _sound(kept: Authority, folder: Path, now: datetime) -> Authority:
    anew = f"to begin anew, move the files in {folder} away; every phone must then trust the new authority"
    if kept.key.public_key() != kept.certificate.public_key():
        raise TlsError(f"{folder}: authority.key does not belong to authority.pem; {anew}")
    if now > kept.certificate.not_valid_after_utc:
        raise TlsError(
            f"{folder}: the authority ended on {kept.certificate.not_valid_after_utc:%Y-%m-%d}; {anew}"
        )
    return kept


def _write(path: Path, content: bytes) -> None:
    """Durably, for this user's eyes only (mode 0600 in a folder of mode 0700)."""
    ensure_folder(RealDisk(), path.parent)
    replace_file(RealDisk(), path, content)


def _read_certificate(path: Path) -> x509.Certificate:
    try:
        return x509.load_pem_x509_certificate(path.read_bytes())
    except (OSError, ValueError) as problem:
        raise TlsError(
            f"{path} cannot be read as a certificate ({problem}); restore it from a backup"
        ) from problem


def _read_key(path: Path) -> ec.EllipticCurvePrivateKey:
    try:
        key = serialization.load_pem_private_key(path.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as problem:
        raise TlsError(f"{path} cannot be read as a key ({problem}); restore it from a backup") from problem
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise TlsError(f"{path} is not a key on an elliptic curve; restore it from a backup")
    return key


def _key_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )

"""The shop's certificate authority and the leaf it signs."""

import socket
import ssl
import stat
import threading
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from plytally.clock import MachineClock
from plytally.web.names import HostError, Names, best_host, checked, machine_names
from plytally.web.tls import TlsError, authority, ensure_leaf, outside, server_context

NOW = datetime(2026, 11, 3, 18, 0, tzinfo=UTC)
NAMES = Names(("shop.local", "localhost"), ("192.168.1.7", "127.0.0.1", "::1"))


def real_now():
    return datetime.fromtimestamp(MachineClock().now_millis() / 1000, UTC)


def leaf_in(folder):
    return x509.load_pem_x509_certificate((folder / "leaf.pem").read_bytes())


def handshake(folder, name, trusted):
    """Speak TLS over a socket pair; what the client saw, or the error its verification raised."""
    ours, theirs = socket.socketpair()
    ours.settimeout(10)
    theirs.settimeout(10)
    trust = ssl.create_default_context(cadata=trusted)

    def serve():
        try:
            with server_context(folder).wrap_socket(ours, server_side=True) as tls:
                tls.recv(1)
        except OSError:
            pass

    server = threading.Thread(target=serve)
    server.start()
    try:
        with trust.wrap_socket(theirs, server_hostname=name) as tls:
            seen = tls.version()
            tls.send(b"x")
        return seen
    finally:
        theirs.close()
        server.join()


@pytest.mark.parametrize("name", [*NAMES.dns, *NAMES.addresses])
def test_a_client_that_trusts_the_authority_accepts_each_name_and_address(tmp_path, name):
    signer = authority(tmp_path, NAMES, real_now())
    ensure_leaf(tmp_path, signer, NAMES, real_now())
    assert handshake(tmp_path, name, signer.pem.decode()) in {"TLSv1.2", "TLSv1.3"}


def test_a_client_refuses_a_name_that_is_not_on_the_leaf(tmp_path):
    signer = authority(tmp_path, NAMES, real_now())
    ensure_leaf(tmp_path, signer, NAMES, real_now())
    with pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"):
        handshake(tmp_path, "other.local", signer.pem.decode())


def test_a_client_that_trusts_another_shop_refuses(tmp_path):
    ensure_leaf(tmp_path / "a", authority(tmp_path / "a", NAMES, real_now()), NAMES, real_now())
    other = authority(tmp_path / "b", NAMES, real_now())
    with pytest.raises(ssl.SSLCertVerificationError, match="verify failed"):
        handshake(tmp_path / "a", "shop.local", other.pem.decode())


def test_the_authority_cannot_pose_as_a_public_site_even_for_a_client_that_trusts_it(tmp_path):
    signer = authority(tmp_path, NAMES, real_now())
    ensure_leaf(tmp_path, signer, NAMES, real_now())
    public = Names(("example.com",), ("127.0.0.1",))
    forged = _forge(signer, public)
    (tmp_path / "leaf.pem").write_bytes(forged[0])
    (tmp_path / "leaf.key").write_bytes(forged[1])
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        handshake(tmp_path, "example.com", signer.pem.decode())


def _forge(signer, names):
    """What a thief with the authority's key could sign, past our own refusal."""
    from plytally.web import tls

    key = tls.ec.generate_private_key(tls.ec.SECP256R1())
    san = x509.SubjectAlternativeName([x509.DNSName(name) for name in names.dns])
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "forged")])
    leaf = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(signer.certificate.subject)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(real_now() - timedelta(days=1))
        .not_valid_after(real_now() + timedelta(days=30))
        .add_extension(san, critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.key.public_key()), critical=False
        )
        .sign(signer.key, hashes.SHA256())
    )
    pem = leaf.public_bytes(tls.serialization.Encoding.PEM)
    return pem + signer.pem, tls._key_pem(key)


def test_we_refuse_to_sign_for_a_public_name(tmp_path):
    signer = authority(tmp_path, NAMES, NOW)
    with pytest.raises(TlsError, match=r"may not vouch for example\.com, 8\.8\.8\.8.*\.local"):
        ensure_leaf(tmp_path, signer, Names(("shop.local", "example.com"), ("8.8.8.8",)), NOW)
    assert not (tmp_path / "leaf.pem").exists()


def test_a_name_the_builder_chose_at_the_first_start_may_be_vouched_for(tmp_path):
    chosen = Names(("hangar.example.org", "localhost"), ())
    assert outside(authority(tmp_path, chosen, NOW), chosen) == ()


def test_the_authority_lives_ten_years_and_is_kept(tmp_path):
    first = authority(tmp_path, NAMES, NOW)
    again = authority(tmp_path, NAMES, NOW + timedelta(days=3000))
    assert again.fingerprint == first.fingerprint
    assert first.certificate.not_valid_after_utc - NOW >= timedelta(days=3650)


def test_a_leaf_is_valid_for_at_most_397_days_its_early_beginning_included(tmp_path):
    ensure_leaf(tmp_path, authority(tmp_path, NAMES, NOW), NAMES, NOW)
    leaf = leaf_in(tmp_path)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=397)
    assert leaf.not_valid_before_utc < NOW


def test_a_leaf_is_kept_while_it_is_good(tmp_path):
    signer = authority(tmp_path, NAMES, NOW)
    assert ensure_leaf(tmp_path, signer, NAMES, NOW)
    before = leaf_in(tmp_path).serial_number
    assert not ensure_leaf(tmp_path, signer, NAMES, NOW + timedelta(days=300))
    assert leaf_in(tmp_path).serial_number == before


@pytest.mark.parametrize(
    ("names", "days"),
    [
        pytest.param(NAMES, 380, id="its end is near"),
        pytest.param(NAMES, -30, id="the clock was set back before its beginning"),
        pytest.param(Names((*NAMES.dns, "second.local"), NAMES.addresses), 1, id="another name"),
        pytest.param(Names(NAMES.dns, ("192.168.1.8",)), 1, id="another address"),
    ],
)
def test_a_leaf_is_made_anew_when(tmp_path, names, days):
    signer = authority(tmp_path, NAMES, NOW)
    ensure_leaf(tmp_path, signer, NAMES, NOW)
    before = leaf_in(tmp_path).serial_number
    assert ensure_leaf(tmp_path, signer, names, NOW + timedelta(days=days))
    assert leaf_in(tmp_path).serial_number != before


def test_keys_and_their_folder_are_for_this_user_only(tmp_path):
    folder = tmp_path / "keys"
    ensure_leaf(folder, authority(folder, NAMES, NOW), NAMES, NOW)
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
    assert modes["authority.key"] == modes["leaf.key"] == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    ("file", "content", "words"),
    [
        pytest.param("authority.key", b"", "cannot be read as a key", id="empty key"),
        pytest.param("authority.pem", b"torn", "cannot be read as a certificate", id="torn certificate"),
        pytest.param("authority.key", None, "cannot be read as a key", id="key is gone"),
    ],
)
def test_damaged_keys_are_told_and_never_replaced_in_silence(tmp_path, file, content, words):
    authority(tmp_path, NAMES, NOW)
    (tmp_path / file).unlink()
    if content is not None:
        (tmp_path / file).write_bytes(content)
    with pytest.raises(TlsError, match=words):
        authority(tmp_path, NAMES, NOW)


def test_a_key_of_another_authority_is_told(tmp_path):
    authority(tmp_path / "a", NAMES, NOW)
    authority(tmp_path / "b", NAMES, NOW)
    (tmp_path / "a/authority.key").write_bytes((tmp_path / "b/authority.key").read_bytes())
    with pytest.raises(TlsError, match="does not belong"):
        authority(tmp_path / "a", NAMES, NOW)


def test_an_authority_past_its_end_is_told(tmp_path):
    authority(tmp_path, NAMES, NOW)
    with pytest.raises(TlsError, match="ended on 2036"):
        authority(tmp_path, NAMES, NOW + timedelta(days=4000))


def test_this_machine_has_names_and_loopback():
    names = machine_names()
    assert "localhost" in names.dns
    assert "127.0.0.1" in names.addresses
    assert any(name.endswith(".local") for name in names.dns)


def test_the_builders_choice_comes_first():
    assert machine_names("Hangar.Local.").dns[0] == "hangar.local"
    assert machine_names("192.168.7.9").addresses[0] == "192.168.7.9"
    assert best_host(NAMES, "Hangar.Local") == "hangar.local"


def test_without_a_name_that_resolves_the_phone_is_given_an_address():
    assert best_host(Names(("nobody-has-this.invalid", "localhost"), ("127.0.0.1", "10.1.2.3"))) == "10.1.2.3"
    assert best_host(Names(("localhost",), ("127.0.0.1",))) == "localhost"


@pytest.mark.parametrize("name", ["", "shop local", "-shop", "shop/..", "a" * 64, "café.local"])
def test_what_is_no_host_name_is_refused(name):
    with pytest.raises(HostError, match="not a host name"):
        checked(name)

"""`serve` as a whole, in this process: from the open log to the last answer."""

import http.client
import json
import os
import signal
import ssl
import stat
import threading

import pytest
import structlog
from cryptography import x509

from plytally.store.errors import StoreLocked
from plytally.store.log import BuildLog
from plytally.web.names import HostError
from plytally.web.serve import Plan, ServeError, serve
from plytally.web.tls import TlsError


@pytest.fixture(autouse=True)
def own_log():
    yield
    structlog.reset_defaults()


def run(plan, ask):
    """Serve, let `ask(running)` speak with it from another thread, stop it by a signal; what `ask` gave."""
    told = []

    def visitor(running):
        try:
            told.append(ask(running))
        finally:
            os.kill(os.getpid(), signal.SIGTERM)

    def ready(running):
        threading.Thread(target=visitor, args=(running,)).start()

    serve(plan, ready)
    return told[0]


def get(url, path="/health", trust=None):
    host, _, port = url.rpartition("://")[2].rpartition(":")
    make = http.client.HTTPSConnection if trust else http.client.HTTPConnection
    client = make(host, int(port), timeout=30, **({"context": trust} if trust else {}))
    client.request("GET", path)
    answer = client.getresponse()
    body = answer.read()
    client.close()
    return answer.status, body


def test_without_lan_only_this_machine_is_served(tmp_path):
    def ask(running):
        assert running.desk_url.startswith("http://127.0.0.1:")
        assert not (tmp_path / "keys/authority.pem").exists()
        return get(running.desk_url)[0]

    assert run(Plan(tmp_path, 0), ask) == 200


def test_with_lan_phones_are_served_over_tls(tmp_path):
    def ask(running):
        trust = ssl.create_default_context(cafile=tmp_path / "keys/authority.pem")
        return get(running.desk_url)[0], get(running.shop.url, trust=trust)[0]

    plan = Plan(tmp_path, 0, lan=True, name="localhost", lan_host="127.0.0.1", lan_port=0)
    assert run(plan, ask) == (200, 200)


def test_the_builders_own_name_is_in_the_address_and_on_the_certificate(tmp_path):
    def ask(running):
        leaf = x509.load_pem_x509_certificate((tmp_path / "keys/leaf.pem").read_bytes())
        names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        return running.shop.url.rpartition(":")[0], names.get_values_for_type(x509.DNSName)[0]

    plan = Plan(tmp_path, 0, lan=True, name="Hangar.local", lan_host="127.0.0.1", lan_port=0)
    assert run(plan, ask) == ("https://hangar.local", "hangar.local")


def test_this_users_programs_learn_where_and_with_which_key_while_it_serves(tmp_path):
    def ask(running):
        path = tmp_path / "serving.json"
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        return json.loads(path.read_text()) | {"expected": running.shop.local_key, "url": running.desk_url}

    told = run(Plan(tmp_path, 0), ask)
    assert (told["pid"], told["key"], told["desk"]) == (os.getpid(), told["expected"], told["url"])
    assert not (tmp_path / "serving.json").exists()


def test_after_the_stop_log_ports_and_signals_are_free_again(tmp_path):
    before = signal.getsignal(signal.SIGTERM)
    port = run(Plan(tmp_path, 0), lambda running: int(running.desk_url.rpartition(":")[2]))
    assert signal.getsignal(signal.SIGTERM) is before
    assert run(Plan(tmp_path, port), lambda running: get(running.desk_url)[0]) == 200
    with BuildLog(tmp_path) as log:
        assert log.journal.head.seq == 0


def test_a_log_in_use_is_refused(tmp_path):
    with BuildLog(tmp_path), pytest.raises(StoreLocked, match="in use by process"):
        serve(Plan(tmp_path, 0), ready=print)


def test_a_port_in_use_is_refused_and_the_log_let_go(tmp_path):
    def ask(running):
        port = int(running.desk_url.rpartition(":")[2])
        with pytest.raises(ServeError, match=r"127\.0\.0\.1:.*choose another port with --port"):
            serve(Plan(tmp_path / "other", port), ready=print)
        with BuildLog(tmp_path / "other"):
            return True

    assert run(Plan(tmp_path / "one", 0), ask)


def test_a_lan_port_in_use_is_refused_with_the_other_option(tmp_path):
    def ask(running):
        port = int(running.shop.url.rpartition(":")[2])
        plan = Plan(tmp_path / "other", 0, lan=True, lan_host="127.0.0.1", lan_port=port)
        with pytest.raises(ServeError, match="choose another port with --lan-port"):
            serve(plan, ready=print)
        return True

    plan = Plan(tmp_path / "one", 0, lan=True, name="localhost", lan_host="127.0.0.1", lan_port=0)
    assert run(plan, ask)


def test_a_name_that_the_kept_authority_may_not_vouch_for_is_told(tmp_path):
    plan = Plan(tmp_path, 0, lan=True, name="localhost", lan_host="127.0.0.1", lan_port=0)
    run(plan, lambda running: None)
    public = Plan(tmp_path, 0, lan=True, name="shop.example.com", lan_host="127.0.0.1", lan_port=0)
    with pytest.raises(TlsError, match=r"made without 'shop\.example\.com'"):
        serve(public, ready=print)


def test_what_is_no_host_name_is_told(tmp_path):
    with pytest.raises(HostError, match="not a host name"):
        serve(Plan(tmp_path, 0, lan=True, name="my shop!", lan_host="127.0.0.1", lan_port=0), ready=print)


def test_a_failure_while_starting_leaves_nothing_open(tmp_path):
    def ready(running):
        raise RuntimeError("the terminal is gone")

    with pytest.raises(RuntimeError, match="the terminal is gone"):
        serve(Plan(tmp_path, 0, lan=True, name="localhost", lan_host="127.0.0.1", lan_port=0), ready)
    assert not (tmp_path / "serving.json").exists()
    assert run(Plan(tmp_path, 0), lambda running: get(running.desk_url)[0]) == 200

"""The optional limit of what a client may send: who a client is, what is counted, and that memory is bounded."""

import pytest

from changeout.application.environment import SettingsError
from changeout.application.service import Service
from changeout.web import rates
from changeout.web.app import create_app
from changeout.web.settings import Settings


@pytest.fixture(scope="module")
def service():
    return Service.load()


def asked(app, address="198.51.100.7", path="/v1/editions", **headers):
    return app.test_client().get(path, environ_overrides={"REMOTE_ADDR": address}, headers=headers)


def test_what_is_beyond_it_is_refused_with_when_to_come_back(service):
    app = create_app(Settings(rate="3/hour"), service)
    assert [asked(app).status_code for _ in range(4)] == [200, 200, 200, 429]
    refused = asked(app)
    assert refused.json["code"] == "too-many-requests"
    assert 0 < int(refused.headers["Retry-After"]) <= 3600
    assert refused.headers["X-Request-Id"]
    # Another client is not concerned, and probes and meters are not counted.
    assert asked(app, "198.51.100.8").status_code == 200
    for path in ("/livez", "/readyz", "/metrics"):
        assert [asked(app, path=path).status_code for _ in range(5)] == [200] * 5


def test_without_a_setting_nothing_is_limited(service):
    app = create_app(Settings(), service)
    assert {asked(app).status_code for _ in range(50)} == {200}


def test_wrong_tokens_are_counted_too(service):
    app = create_app(Settings(rate="3/hour", token="right"), service)
    tries = [asked(app, Authorization="Bearer wrong").status_code for _ in range(5)]
    assert tries == [401, 401, 401, 429, 429]
    assert asked(app, Authorization="Bearer right").status_code == 429


def test_a_caller_cannot_claim_another_address_unless_a_proxy_is_set_up(service):
    app = create_app(Settings(rate="2/hour"), service)
    told = [asked(app, **{"X-Forwarded-For": f"203.0.113.{n}"}).status_code for n in range(4)]
    assert told == [200, 200, 429, 429]


def test_behind_a_proxy_the_address_that_the_proxy_adds_counts(service):
    app = create_app(Settings(rate="2/hour", proxies=1), service)
    # What the caller sent stands before what the proxy adds.
    told = [asked(app, **{"X-Forwarded-For": f"192.0.2.{n}, 203.0.113.9"}).status_code for n in range(4)]
    assert told == [200, 200, 429, 429]
    assert asked(app, **{"X-Forwarded-For": "203.0.113.10"}).status_code == 200


@pytest.mark.parametrize(
    "address, client",
    [
        ("198.51.100.7", "198.51.100.7"),
        ("::ffff:198.51.100.7", "198.51.100.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::9", "2001:db8:1:2::/64"),
        ("fe80::1%eth0", "fe80::/64"),
        ("", "unknown"),
        (None, "unknown"),
        ("x" * 500, "unknown"),
    ],
)
def test_who_a_client_is(address, client):
    assert rates.client_of(address) == client


def test_counts_end_by_time_that_passes_and_of_a_bounded_number_of_clients(monkeypatch):
    now = 1000.0
    monkeypatch.setattr(rates.time, "monotonic", lambda: now)
    monkeypatch.setattr(rates, "_MOST_CLIENTS", 3)
    counts = rates.Counts()
    assert [counts.incr("a", 10), counts.incr("a", 10), counts.get("a")] == [1, 2, 2]
    assert counts.rest_s("a") == 10
    now += 9.5
    assert counts.incr("a", 10) == 3
    now += 0.5
    assert counts.get("a") == 0
    assert counts.incr("a", 10) == 1
    for key in "bcd":
        counts.incr(key, 10)
    assert counts.get("a") == 0
    assert [counts.get(key) for key in "bcd"] == [1, 1, 1]
    counts.clear("b")
    assert counts.get("b") == 0
    assert counts.reset() == 2
    assert counts.check()


@pytest.mark.parametrize("rate", ["soon", "10", "10/fortnight", "-1/minute", "ten/minute"])
def test_what_cannot_be_read_names_the_variable(service, rate):
    with pytest.raises(SettingsError, match="CHANGEOUT_RATE"):
        create_app(Settings(rate=rate), service)


def test_without_the_extra_it_says_what_to_install(service, monkeypatch):
    import sys

    for name in [name for name in sys.modules if name.split(".")[0] == "limits" or name == "changeout.web.rates"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "limits", None)
    with pytest.raises(SettingsError, match=r"changeout\[limits\]"):
        create_app(Settings(rate="3/hour"), service)


def test_the_environment_sets_it():
    made = Settings.from_environment({"CHANGEOUT_RATE": "5/second", "CHANGEOUT_PROXIES": "2"})
    assert (made.rate, made.proxies) == ("5/second", 2)
    with pytest.raises(SettingsError, match="CHANGEOUT_PROXIES"):
        Settings.from_environment({"CHANGEOUT_PROXIES": "one"})

"""Four times what it can take: the rest is told at once when to come back, and afterwards all is as before."""

import json
import threading

from fault_load import Load, ask, nginx_before, until, workers_of

from serving import serving

TIGHT = {"CHANGEOUT_AT_ONCE": "1", "CHANGEOUT_WAITING": "2", "CHANGEOUT_PATIENCE_SECONDS": "30"}


def check(port, clients):
    right = ask(port, "/v1/validations").body
    with Load(port, clients=clients, path="/v1/validations") as load:
        until(lambda: load.statuses()[503] >= 50 and load.statuses()[200] >= 50, "both answers")
        # While it is so, the probes are answered.
        assert ask(port, "/livez", None).status == 200
        assert ask(port, "/readyz", None).status == 200
    assert load.failures() == {}
    assert set(load.statuses()) == {200, 503}
    assert load.bodies() == {right}
    for told in load.told:
        if told.status == 503:
            assert told.headers["retry-after"] == "1"
            assert json.loads(told.body)["code"] == "overloaded"
    # At once: the very next requests, one after another.
    for _ in range(5):
        assert ask(port, "/v1/validations").status == 200


def test_four_times_as_many_as_it_takes_are_shed_and_it_recovers_at_once(tmp_path):
    with serving(tmp_path, environment=TIGHT) as served:
        workers = workers_of(served)
        check(served.port, clients=12)
        assert workers_of(served) == workers


def test_the_proxy_passes_on_that_it_is_shed(tmp_path):
    with serving(tmp_path, environment=TIGHT) as served, nginx_before(tmp_path / "nginx", [served.port]) as port:
        check(port, clients=12)


def test_as_it_is_set_up_unless_told_otherwise_it_sheds_too(tmp_path):
    """There are more threads than places, so somebody is free to say no."""
    with serving(tmp_path) as served:
        released, told = threading.Barrier(80), []

        def ask_at_once():
            released.wait()
            told.append(ask(served.port, "/v1/validations"))

        threads = [threading.Thread(target=ask_at_once) for _ in range(80)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        statuses = {t.status for t in told}
        assert {t.failed for t in told} == {""}
        assert statuses == {200, 503}
        assert ask(served.port).status == 200

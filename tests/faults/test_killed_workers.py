"""Workers and whole instances that are killed while requests are answered."""

import os
import signal

import requests
from fault_load import PROPOSAL, Load, ask, nginx_before, until, workers_of

from serving import serving


def test_a_killed_worker_is_replaced_and_what_the_others_answer_is_right(tmp_path):
    with serving(tmp_path, "--workers", "2") as served:
        right = ask(served.port, "/v1/validations?detail=findings").body
        with Load(served.port) as load:
            load.answered(20)
            for _ in range(3):
                until(lambda: len(workers_of(served)) == 2, "two workers")
                killed = workers_of(served)[0]
                os.kill(killed, signal.SIGKILL)
                until(lambda k=killed: k not in workers_of(served) and len(workers_of(served)) == 2, "a new worker")
                load.answered(20)
        # What the killed ones were just answering is cut, and nothing else; what is cut never looks whole.
        assert load.bodies() == {right}
        assert set(load.statuses()) == {200}
        assert sum(load.failures().values()) <= 3 * load.clients
        assert ask(served.port).status == 200


def test_killed_workers_lose_nothing_behind_the_proxy(tmp_path):
    with serving(tmp_path, "--workers", "2") as served, nginx_before(tmp_path / "nginx", [served.port]) as port:
        with Load(port) as load:
            load.answered(20)
            for _ in range(4):
                until(lambda: len(workers_of(served)) == 2, "two workers")
                killed = workers_of(served)[0]
                os.kill(killed, signal.SIGKILL)
                until(lambda k=killed: k not in workers_of(served) and len(workers_of(served)) == 2, "a new worker")
                load.answered(20)
        assert load.failures() == {}
        assert set(load.statuses()) == {200}
        assert len(load.bodies()) == 1


def test_a_killed_instance_loses_nothing_behind_the_proxy(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    with (
        serving(tmp_path / "one") as one,
        serving(tmp_path / "two") as two,
        nginx_before(tmp_path / "nginx", [one.port, two.port]) as port,
    ):
        with Load(port) as load:
            load.answered(30)
            (worker,) = workers_of(one)
            os.kill(one.process.pid, signal.SIGKILL)
            os.kill(worker, signal.SIGKILL)
            one.process.wait(timeout=20)
            load.answered(60)
        assert load.failures() == {}
        assert set(load.statuses()) == {200}
        assert len(load.bodies()) == 1


def test_the_meters_keep_what_a_killed_worker_counted(tmp_path):
    def counted(port):
        lines = requests.get(f"http://127.0.0.1:{port}/metrics", timeout=30).text.splitlines()
        return sum(float(line.split()[-1]) for line in lines if line.startswith("changeout_validations_total{"))

    with serving(tmp_path, "--workers", "2") as served:
        for _ in range(12):
            assert ask(served.port, body=PROPOSAL).status == 200
        until(lambda: len(workers_of(served)) == 2, "two workers")
        before = workers_of(served)
        for pid in before:
            os.kill(pid, signal.SIGKILL)
        until(lambda: len(workers_of(served)) == 2 and not set(before) & set(workers_of(served)), "two new workers")
        until(lambda: ask(served.port, "/livez", None).status == 200, "an answer")
        assert counted(served.port) == 12

from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient

from changeout.application.service import Service
from changeout.web.app import create_app
from changeout.web.settings import Settings
from serving import Served, serving


@pytest.fixture(scope="session")
def service() -> Service:
    return Service.load()


@pytest.fixture(scope="session")
def app(service: Service) -> Flask:
    return create_app(Settings(), service)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture(scope="session")
def proposal(service: Service) -> bytes:
    return service.example("dwelling-service")


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("served"), "--threads", "4") as running:
        yield running

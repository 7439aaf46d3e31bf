"""The written description of every route, held against the app: by its own words, and by schemathesis."""

import re

import pytest
import schemathesis
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openapi_spec_validator import validate
from schemathesis.checks import CHECKS, load_all_checks
from schemathesis.config import SchemathesisConfig
from schemathesis.generation.modes import GenerationMode
from support.photos import jpeg
from support.shops import TestShop

from plytally.web.openapi import TEXT
from plytally.web.problem import KINDS

DOCUMENT = yaml.safe_load(TEXT)
METHODS = {"get", "put", "post", "delete", "options", "head", "patch"}
EXAMPLES = settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
load_all_checks()
BROAD_ON_PURPOSE = (
    "createUpload",
    "addChunk",
    "overriddenUpload",
    "takePrint",
    "chooseCalls",
    "readAloud",
    "beginImport",
)  # what tus headers hold, what makes a print, what key lies on its curve, what is to be read, what finds
# room: no pattern can say


def documented():
    return {
        (method.upper(), path): operation
        for path, item in DOCUMENT["paths"].items()
        for method, operation in item.items()
        if method in METHODS
    }


def routes_of(app):
    for rule in app.url_map.iter_rules():
        beside = {"HEAD", "OPTIONS"} if "GET" in rule.methods else set()
        path = re.sub(r"<(?:[^:<>]+:)?([a-z_]+)>", r"{\1}", rule.rule)
        yield from ((method, path) for method in rule.methods - beside)


def test_the_document_is_sound_openapi_3_1():
    validate(DOCUMENT)
    assert DOCUMENT["openapi"].startswith("3.1")


def test_every_route_is_described_and_nothing_else(shop):
    assert set(routes_of(shop.app)) == set(documented())


def test_the_document_is_served_as_it_is_written(shop):
    answer = shop.nobody.get("/api/openapi.yaml")
    assert (answer.status_code, answer.content_type, answer.text) == (200, "application/yaml", TEXT)


@pytest.mark.parametrize(("route", "operation"), documented().items(), ids=lambda one: str(one)[:60])
def test_every_route_tells_that_it_may_be_asked_too_often(route, operation):
    assert {"429", "default"} & set(operation["responses"])


def test_every_status_that_a_problem_may_have_is_in_the_document():
    told = {status for operation in documented().values() for status in operation["responses"]}
    beside = {"421"}  # any route may answer it, to a foreign Host
    assert {str(status) for status, _ in KINDS.values()} - told - beside == set()


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A shop with a paired phone, one photo and one upload, for generated requests to find."""
    shop = TestShop(tmp_path_factory.mktemp("openapi") / "data")
    phone = shop.phone("phone-1")
    phone.sync([phone.maker.notes()])
    shop.photo = shop.log.media.keep(jpeg())
    shop.upload = shop.inside.uploads.create("phone phone-1", "0" * 64, 100)
    shop.token = phone.token
    yield shop
    shop.close()


@pytest.fixture(scope="module")
def described(house):
    refused = {"expected-statuses": [400, 401, 403, 404, 405, 409, 412, 413, 415, 422]}
    config = SchemathesisConfig.from_dict({"checks": {"negative_data_rejection": refused}})
    return schemathesis.openapi.from_wsgi("/api/openapi.yaml", whole(house.app), config=config)


def whole(app):
    """The app, every answer read to its end and closed, as a server does."""

    def read(environ, start_response):
        pieces = app(environ, start_response)
        try:
            return [b"".join(pieces)]
        finally:
            pieces.close()

    return read


@schemathesis.serializer("application/offset+octet-stream")
def as_it_is(context, value):
    return value if isinstance(value, bytes) else str(value).encode()


def can_be_broken(route):
    """Whether the description says anything of this route's requests that another could break."""
    operation = documented()[route]
    told = [*operation.get("parameters", []), *DOCUMENT["paths"][route[1]].get("parameters", [])]
    return "requestBody" in operation or any("Tus" in str(one) or "query" in str(one) for one in told)


@pytest.mark.parametrize(("method", "path"), documented(), ids=lambda one: one)
@EXAMPLES
@given(data=st.data())
def test_a_request_as_described_meets_an_answer_as_described(house, described, method, path, data):
    operation = described[path][method]
    case = data.draw(operation.as_strategy(generation_mode=GenerationMode.POSITIVE))
    find_what_is_here(house, case)
    ask(house, operation, case)


@pytest.mark.parametrize(("method", "path"), [*filter(can_be_broken, documented())], ids=lambda one: one)
@EXAMPLES
@given(data=st.data())
def test_a_request_that_breaks_its_description_is_refused_as_described(house, described, method, path, data):
    operation = described[path][method]
    ask(house, operation, data.draw(operation.as_strategy(generation_mode=GenerationMode.NEGATIVE)))


def ask(house, operation, case):
    """schemathesis sends what it made, and judges the answer."""
    house.ticks.seconds += 600
    token = token_for(house, operation)
    headers = {"Accept-Encoding": "identity"} | ({"Authorization": f"Bearer {token}"} if token else {})
    case.call_and_validate(headers=headers, excluded_checks=left_out(operation))


def token_for(house, operation):
    """The token that opens the route, so that requests get past the gate."""
    needs = [name for way in operation.definition.raw.get("security", []) for name in way]
    return house.token if "phone" in needs else house.shop.local_key if needs else None


def left_out(operation):
    """Access has its own matrix; and what is right in tus's headers, no pattern can say."""
    names = ["ignored_auth"]
    if operation.definition.raw["operationId"] in BROAD_ON_PURPOSE:
        names.append("positive_data_acceptance")
    return [CHECKS.get_one(name) for name in names]


def find_what_is_here(house, case):
    """Half of the generated addresses and ids become ones that exist."""
    here = {"address": house.photo, "upload_id": house.upload.id}
    for name, value in here.items():
        made = (case.path_parameters or {}).get(name)
        if isinstance(made, str) and made and ord(made[0]) % 2 == 0:
            case.path_parameters[name] = value

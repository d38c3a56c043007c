"""The OpenAPI document: valid against the published schema, and true of the server."""

from __future__ import annotations

import json

import pytest
from openapi_spec_validator import OpenAPIV31SpecValidator

from tests.api.conftest import API

pytestmark = pytest.mark.django_db


@pytest.fixture
def document(client) -> dict:
    return json.loads(client.get(f"{API}openapi.json").content)


def test_the_document_is_valid_openapi_3_1(document) -> None:
    # The OpenAPI Initiative's JSON Schema of version 3.1, as the validator ships it.
    assert document["openapi"].startswith("3.1")
    OpenAPIV31SpecValidator(document).validate()


def test_every_address_of_the_api_is_in_it(document) -> None:
    from training.api.urls import urlpatterns

    documented = {path.removeprefix(API) for path in document["paths"]}
    named = {
        str(one.pattern)
        .replace("<slug:slug>", "{slug}")
        .replace("<int:set_id>", "{set_id}")
        .replace("<int:number>", "{number}")
        .replace("<int:membership_id>", "{membership_id}")
        .replace("<day:day>", "{day}")
        for one in urlpatterns
        if one.name not in {None, "browse", "document", "problems", "problem"}
    }
    assert documented == named


def test_every_operation_has_words_and_says_how_it_fails(document) -> None:
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            assert operation.get("description") or operation.get("summary"), (method, path)
            assert "401" in operation["responses"], (method, path)


def test_the_page_to_browse_it_loads_nothing_from_elsewhere(client) -> None:
    page = client.get(API)
    assert page.status_code == 200
    body = page.content.decode()
    assert "http://" not in body.replace("http://testserver", "")
    assert "https://" not in body

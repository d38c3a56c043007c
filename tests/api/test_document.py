"""The OpenAPI document: valid against the published schema, true of the server, and kept."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from openapi_spec_validator import OpenAPIV31SpecValidator

from tests.api.conftest import API

DATA = Path(__file__).resolve().parents[1] / "data"
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
        .replace("<int:correction_id>", "{correction_id}")
        .replace("<int:challenge_id>", "{challenge_id}")
        .replace("<int:season_id>", "{season_id}")
        .replace("<int:question_id>", "{question_id}")
        .replace("<int:group_id>", "{group_id}")
        .replace("<int:series_id>", "{series_id}")
        .replace("<int:hook_id>", "{hook_id}")
        .replace("<uuid:number>", "{number}")
        .replace("<day:day>", "{day}")
        .replace("<slug:code>", "{code}")
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


def test_problems_are_of_the_media_type_that_is_sent(document) -> None:
    # RFC 9457, section 3: application/problem+json.
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            for status, answer in operation["responses"].items():
                kinds = list(answer.get("content", {}))
                wanted = ["application/problem+json"] if status >= "400" else ["application/json"]
                assert kinds == ([] if status == "204" else wanted), (method, path, status)


# What version 1 promises ------------------------------------------------------
def contract_of(document: dict) -> dict:
    """What a program may lean on: operations with their good answers, fields with their types."""
    operations = {
        operation["operationId"]: [
            f"{method} {path}",
            *(
                f"{status} {json.dumps(said['content']['application/json']['schema'])}"
                for status, said in sorted(operation["responses"].items())
                if status < "300" and "content" in said
            ),
        ]
        for path, found in document["paths"].items()
        for method, operation in found.items()
    }
    shapes = {
        name: {field: type_of(kind) for field, kind in shape["properties"].items()}
        for name, shape in document["components"]["schemas"].items()
        if "properties" in shape
    }
    always = {
        name: shape.get("required", [])
        for name, shape in document["components"]["schemas"].items()
        if "properties" in shape
    }
    return {"operations": operations, "shapes": shapes, "always": always}


def type_of(kind: dict) -> dict:
    """A field's type without the words about it, for which a reference is wrapped once more."""
    if list(kind) == ["allOf", "description"] and len(kind["allOf"]) == 1:
        return kind["allOf"][0]
    return {key: part for key, part in kind.items() if key != "description"}


def lost(promised: object, found: object, place: str = "") -> list[str]:
    """What is promised and no longer there, or another; what has come since is no loss."""
    if isinstance(promised, dict) and isinstance(found, dict):
        return [
            line
            for key, value in promised.items()
            for line in lost(value, found.get(key), f"{place}/{key}")
        ]
    if isinstance(promised, list) and isinstance(found, list):
        gone = [one for one in promised if one not in found]
        return [f"{place}: {gone}"] if gone else []
    return [] if promised == found else [f"{place}: {promised} became {found}"]


def test_version_1_keeps_what_it_promised(document) -> None:
    """``tests/data/api_v1.json`` is what programs were told. It stays when something is added."""
    promised = json.loads((DATA / "api_v1.json").read_text(encoding="utf-8"))
    assert len(promised["operations"]) == 21
    assert len(promised["shapes"]) == 63
    assert lost(promised, contract_of(document)) == []


def test_a_lost_field_and_a_changed_type_are_seen(document) -> None:
    promised = contract_of(document)
    changed = json.loads(json.dumps(promised))
    del changed["shapes"]["Row"]["mean"]
    changed["always"]["Row"].remove("rank")
    changed["shapes"]["Score"]["points"] = {"type": "string"}
    changed["shapes"]["Row"]["news"] = {"type": "string"}
    assert [line.partition(":")[0] for line in lost(promised, changed)] == [
        "/shapes/Row/mean",
        "/shapes/Score/points/type",
        "/always/Row",
    ]

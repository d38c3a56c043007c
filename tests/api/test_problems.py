"""What the API refuses, it refuses in our words, and each problem's ``type`` leads to a page."""

from __future__ import annotations

import ast
import json
import re
import uuid
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from django.test import Client, override_settings
from rest_framework import exceptions, fields, serializers
from rest_framework.test import APIClient
from rest_framework.throttling import SimpleRateThrottle

from tests.api.conftest import API
from training.api import errors, problems
from training.api.fields import Entries
from training.api.serializers.group_reviews import ReviewAsked
from training.api.serializers.plans import HandIn
from training.models import Membership, ScrambleSet
from training.refusals import Refusal

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).resolve().parents[2]
CLUB = f"{API}clubs/lantern-street/"


def below(kind: type) -> set[type]:
    """A class and all that is derived from it."""
    return {kind}.union(*(below(one) for one in kind.__subclasses__()))


# Every kind has a page -----------------------------------------------------
def codes_in_the_source() -> set[str]:
    """Every word that the source gives as a problem's code: ``code = "…"``, ``TYPES["…"]``."""
    found: set[str] = set()
    for file in [*(ROOT / "training").rglob("*.py"), *(ROOT / "clubsite").rglob("*.py")]:
        text = file.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.ClassDef) and "status" in {
                target.id
                for line in node.body
                if isinstance(line, ast.Assign)
                for target in line.targets
                if isinstance(target, ast.Name)
            }:
                found |= {
                    line.value.value
                    for line in node.body
                    if isinstance(line, ast.Assign)
                    and isinstance(line.targets[0], ast.Name)
                    and line.targets[0].id == "code"
                    and isinstance(line.value, ast.Constant)
                }
        found |= set(re.findall(r'TYPES\["(\w+)"\]', text))
    return found


def test_every_code_is_in_the_list_of_kinds() -> None:
    raised = {one.code for one in below(Refusal)} | set(errors._SENTENCES)
    found = codes_in_the_source()
    assert {"set_closed", "link_used_up", "not_found", "too_big"} <= found
    assert raised | found <= set(problems.TYPES)


def test_every_error_of_the_framework_is_said_in_our_words() -> None:
    # All that Django REST framework and the token library derive from their one base class.
    handled = (exceptions.ValidationError, exceptions.NotFound)
    theirs = below(exceptions.APIException) - {exceptions.APIException}
    unsaid = {
        one
        for one in theirs
        if not issubclass(one, handled) and one.default_code not in errors._SENTENCES
    }
    assert unsaid == set()


@pytest.mark.parametrize("code", problems.TYPES)
def test_the_type_of_a_problem_leads_to_a_page_about_it(client: Client, code: str) -> None:
    # RFC 9457, section 3.1.1: the type's address, looked up, says what the problem is.
    kind = problems.TYPES[code]
    answer = client.get(kind.body("")["type"])
    assert (answer.status_code, answer["Content-Type"]) == (200, "text/html; charset=utf-8")
    page = unescape(answer.content.decode())
    for said in (f"<h1>{kind.title}</h1>", code, f"HTTP {kind.status}", kind.meaning, kind.way_out):
        assert str(said) in page
    listed = unescape(client.get(problems.ROOT).content.decode())
    for said in (f'id="{code}"', f'href="{kind.address}"', kind.meaning, kind.way_out):
        assert str(said) in listed


def test_the_document_leads_to_the_list_and_an_unknown_kind_is_not_there(client: Client) -> None:
    document = client.get(f"{API}openapi.json").json()
    assert f"({problems.ROOT})" in document["info"]["description"]
    assert client.get(f"{problems.ROOT}no_such_problem").status_code == 404


# Every refusal is in our words ----------------------------------------------
Ask = Callable[[APIClient, str], object]


def sent(body: str | bytes, kind: str = "application/json") -> Ask:
    return lambda client, plan: client.post(plan, body, content_type=kind)


def entered(**body: object) -> Ask:
    return sent(json.dumps({"key": str(uuid.uuid4()), "plan": "D' R'"} | body))


def review(**asked: object) -> Ask:
    return lambda client, plan: client.get(f"{CLUB}coach/review/", asked)


PROVOKED: dict[str, tuple[Ask, int, str, str]] = {
    "a method": (lambda c, p: c.put(p, {}), 405, "method_not_allowed", "PUT. It takes GET, POST"),
    "an answer": (lambda c, p: c.get(p, headers={"accept": "image/png"}), 406, "not_acceptable",
                  "answers with application/json alone"),
    "a form": (sent("plan=R", "text/plain"), 415, "unsupported_media_type", "named text/plain"),
    "no JSON": (sent("{\n  plan"), 400, "parse_error", "line 2, character 3"),
    "no UTF-8": (sent(b"\xff"), 400, "parse_error", "byte 1"),
    "NaN": (sent('{"key": NaN}'), 400, "parse_error", "number"),
    "long digits": (sent("9" * 5000), 400, "parse_error", "too many digits"),
    "deep": (sent('{"a":' * 5000 + "1" + "}" * 5000), 400, "parse_error", "nested too deeply"),
    "deep list": (sent("[" * 100_000), 400, "parse_error", "nested too deeply"),
    "too big": (sent(" " * 300_000), 413, "too_big", "larger than any plan"),
    "no object": (sent("[1]"), 400, "invalid_entry", "The whole: Send one JSON object"),
    "nothing": (sent("{}"), 400, "invalid_entry", "key: This is missing."),
    "null": (entered(plan=None), 400, "invalid_entry", "plan: This is null."),
    "no text": (entered(plan=["R"]), 400, "invalid_entry", "plan: This has to be text."),
    "U+0000": (entered(plan="R\0"), 400, "invalid_entry", "plan: There is an invisible"),
    "half": (entered(plan="R\ud800"), 400, "invalid_entry", "half a character in it (U+D800)"),
    "half a key": (sent('{"key": "\\ud800"}'), 400, "invalid_entry", "key: This is no UUID."),
    "no key": (entered(key="seven"), 400, "invalid_entry", "key: This is no UUID."),
    "perhaps": (entered(no_plan="perhaps"), 400, "invalid_entry", "no_plan: This has to be true"),
    "no weeks": (review(weeks=0), 400, "invalid_entry", "weeks: This is too small: 1 is"),
    "a year": (review(weeks=99), 400, "invalid_entry", "weeks: This is too large: 52 is"),
    "many": (review(weeks="many"), 400, "invalid_entry", "weeks: This has to be a whole number."),
    "digits": (review(weeks="9" * 2000), 400, "invalid_entry", "weeks: This number has too many"),
    "painted": (review(drawn="painted"), 400, "invalid_entry", "here: as_drawn, picked. Send"),
    "long": (review(group="x" * 41), 400, "invalid_entry", "group: This is too long: 40"),
    "no address": (lambda c, p: c.get(f"{API}nothing/"), 404, "not_found", "Nothing is here"),
    "no club": (lambda c, p: c.get(f"{API}clubs/none/sets/"), 404, "not_found", "Nothing is here"),
}  # fmt: skip

THEIR_WORDS = re.compile(
    r"valid string|valid boolean|valid integer|Ensure|field|credentials|not allowed|JSON parse"
    r"|Unsupported|satisfy|Invalid|throttled|may not be|Malformed|Surrogate|Null char",
)


def all_said(answer) -> str:
    """Every sentence for people in a problem."""
    problem = answer.json()
    entries = [each["message"] for found in problem.get("errors", {}).values() for each in found]
    return "\n".join([problem["title"], problem["detail"], *entries])


@pytest.fixture
def today(given, member) -> ScrambleSet:
    return given.a_set()


@pytest.mark.parametrize("name", PROVOKED)
def test_what_is_refused_is_refused_in_our_words(
    today: ScrambleSet, coach: Membership, speaks_for, name: str
) -> None:
    ask, status, code, words = PROVOKED[name]
    answer = ask(speaks_for(coach), f"{CLUB}sets/{today.pk}/scrambles/1/plan/")
    assert (answer.status_code, answer["Content-Type"]) == (status, "application/problem+json")
    problem = answer.json()
    assert problem["type"] == f"{API}problems/{code}"
    assert words in problem["detail"]
    assert not THEIR_WORDS.search(all_said(answer))


@pytest.mark.parametrize(
    ("header", "code", "words"),
    [
        ("", "not_authenticated", "Nobody is signed in."),
        ("Bearer", "authentication_failed", "has to hold two words"),
        ("Bearer a b", "authentication_failed", "has to hold two words"),
        ("Bearer xyz", "authentication_failed", "This token opens nothing"),
        ("Bearer \xff", "authentication_failed", "This token opens nothing"),
        ("Basic aTpw", "not_authenticated", "Nobody is signed in."),
    ],
)
def test_who_is_not_signed_in_is_told_how(member, header: str, code: str, words: str) -> None:
    answer = APIClient().get(f"{API}me/", HTTP_AUTHORIZATION=header)
    # RFC 9110, section 15.5.2: a 401 says by which scheme to come.
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, "Bearer")
    assert answer.json()["type"].endswith(code)
    assert words in answer.json()["detail"]
    assert not THEIR_WORDS.search(all_said(answer))


def test_half_a_character_in_a_name_is_refused_at_its_place(member) -> None:
    body = r'{"sign_in_name": "\ud800", "phrase": "seven wooden boats"}'
    answer = APIClient().post(f"{API}tokens/", body, content_type="application/json")
    assert answer.status_code == 400
    assert "half a character" in answer.json()["errors"]["sign_in_name"][0]["message"]
    assert answer.json()["detail"].count("sign_in_name: ") == 1


def test_a_name_that_is_no_text_is_refused_at_its_place(member) -> None:
    for name in (["ines"], {"a": [[]]}, 7.5e300, True):
        body = {"sign_in_name": name, "phrase": "seven wooden boats"}
        answer = APIClient().post(f"{API}tokens/", body, format="json")
        assert answer.status_code in {400, 401}
        assert not THEIR_WORDS.search(all_said(answer))


def test_a_browsers_session_changes_nothing_without_the_pages_mark(member, today) -> None:
    browser = APIClient(enforce_csrf_checks=True)
    browser.force_login(member.person, backend="training.services.backends.PhraseBackend")
    answer = browser.post(f"{CLUB}sets/{today.pk}/scrambles/1/plan/", {}, format="json")
    assert (answer.status_code, answer.json()["type"][-17:]) == (403, "permission_denied")
    assert "Send a token instead" in answer.json()["detail"]
    assert "CSRF" not in answer.json()["detail"]


def test_the_wait_of_a_second_is_in_the_singular(member, speaks_for, monkeypatch) -> None:
    monkeypatch.setitem(SimpleRateThrottle.THROTTLE_RATES, "person", "1/s")
    client = speaks_for(member)
    last = [client.get(f"{API}me/") for _ in range(2)][1]
    assert last.json()["detail"] == "Too many requests. Try again in 1 second."
    assert last["Retry-After"] == "1"


@override_settings(ALLOWED_HOSTS=["club.example"])
def test_a_request_to_another_host_is_a_problem_too(db) -> None:
    answer = Client().get(f"{API}me/", headers={"host": "elsewhere.example"})
    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")
    assert answer.json()["type"].endswith("bad_request")


@pytest.mark.parametrize("path", ["/api/", "/api/v2/me/"])
def test_what_stands_beside_the_api_is_a_problem_too(client: Client, path: str) -> None:
    answer = client.get(path)
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")


def test_a_problem_of_the_page_to_browse_is_json_too(client: Client) -> None:
    answer = client.get(API, headers={"accept": "image/png"})
    assert (answer.status_code, answer["Content-Type"]) == (406, "application/problem+json")
    assert "answers with text/html alone" in answer.json()["detail"]
    assert client.delete(API).json()["type"].endswith("method_not_allowed")


def test_a_fault_of_ours_is_a_problem_in_words(member, speaks_for, monkeypatch) -> None:
    def broken(*args: object) -> None:
        raise RuntimeError("a fault made for this test")

    monkeypatch.setattr("training.api.views.people.memberships_of", broken)
    client = speaks_for(member)
    client.raise_request_exception = False
    answer = client.get(f"{API}me/")
    assert (answer.status_code, answer["Content-Type"]) == (500, "application/problem+json")
    assert "Something broke here" in answer.json()["detail"]


def test_no_sentence_of_the_framework_is_left_at_an_entry() -> None:
    """Every message that an entry of a serializer may give differs from the framework's."""
    for shape in below(Entries) - {Entries}:
        for entry in (shape(), *shape().fields.values()):
            theirs = next(one for one in type(entry).__mro__ if one.__module__.startswith("rest_"))
            known: dict[str, object] = {}
            for base in reversed(theirs.__mro__):
                known |= getattr(base, "default_error_messages", {})
            if isinstance(entry, serializers.Serializer | fields.Field):
                for key, message in known.items():
                    assert str(entry.error_messages[key]) != str(message), (shape, entry, key)


# Every word of it can be said in another tongue --------------------------------
NAMES = re.compile(
    "|".join(
        {
            "text/plain",
            "application/json",
            "as_drawn",
            "picked",
            *HandIn().fields,
            *ReviewAsked().fields,
        }
    )
)
"""What stands in a sentence as it is sent: names of entries, and what was sent."""


@pytest.mark.usefixtures("capitals")
@pytest.mark.parametrize("name", PROVOKED)
def test_every_problem_is_marked_for_translation(
    today: ScrambleSet, coach: Membership, speaks_for, name: str
) -> None:
    ask = PROVOKED[name][0]
    said = all_said(ask(speaks_for(coach), f"{CLUB}sets/{today.pk}/scrambles/1/plan/"))
    assert re.search("[A-Z]{5}", said)
    assert not re.search("[a-z]", NAMES.sub("", said)), said


@pytest.mark.usefixtures("capitals")
def test_every_page_of_a_problem_is_marked_for_translation(client: Client) -> None:
    for address in (problems.ROOT, *(one.address for one in problems.TYPES.values())):
        page = unescape(client.get(address).content.decode())
        main = re.search("<main.*</main>", page, re.DOTALL)
        assert main
        said = re.sub("<code>.*?</code>|<[^>]*>", "", main[0])
        assert not re.search("[a-z]", said), (address, said)

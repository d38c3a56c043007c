"""Small answers, long-lived files, and what a phone may keep."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import struct
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.test import Client
from django.urls import reverse

from training.models import Membership
from training.web.pages.offline.views import PAPER

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).resolve().parents[2]
GZIP = {"accept-encoding": "gzip, deflate, br"}


def body(response: object) -> bytes:
    if getattr(response, "streaming", False):
        whole = b"".join(response.streaming_content)  # type: ignore[attr-defined]
        response.close()  # type: ignore[attr-defined]
        return whole
    return response.content  # type: ignore[attr-defined,no-any-return]


def without_token(page: bytes) -> bytes:
    return re.sub(rb'name="csrfmiddlewaretoken" value="[^"]+"', b"", page)


def test_a_page_is_sent_compressed_to_whoever_takes_it_so(client: Client) -> None:
    plain = client.get(reverse("privacy"))
    small = client.get(reverse("privacy"), headers=GZIP)
    assert "Content-Encoding" not in plain
    assert small["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in small["Vary"]
    assert without_token(gzip.decompress(small.content)) == without_token(plain.content)
    assert len(small.content) < len(plain.content) / 2


def test_its_size_tells_nobody_what_stands_in_it(client: Client) -> None:
    """As against BREACH (described in 2013): the same page has another size each time."""
    sizes = {len(client.get(reverse("privacy"), headers=GZIP).content) for _ in range(12)}
    assert len(sizes) > 1


@pytest.mark.parametrize("kind", ["problem", "file"])
def test_programs_answers_and_files_too(client: Client, kind: str) -> None:
    address = static("training/css/parts.css") if kind == "file" else reverse("api:problems")
    small = client.get(address, headers=GZIP)
    assert small["Content-Encoding"] == "gzip"
    sent = body(small)
    assert len(gzip.decompress(sent)) > len(sent)


def test_what_has_no_whole_body_is_left_alone(client: Client) -> None:
    """RFC 9110: no body after HEAD nor with 304; a part (206) is a part of what is not coded."""
    address = static("training/css/parts.css")
    whole = client.get(address)
    assert body(whole)
    when = whole["Last-Modified"]
    for response in (
        client.head(address, headers=GZIP),
        client.get(address, headers={**GZIP, "if-modified-since": when}),
        client.get(address, headers={**GZIP, "range": "bytes=0-99"}),
        client.get(static("training/icon-512.png"), headers=GZIP),
    ):
        assert "Content-Encoding" not in response, response.status_code
        response.close()


def test_each_file_has_an_address_by_its_content_and_stays_for_a_year(client: Client) -> None:
    page = client.get(reverse("first")).content.decode()
    addresses = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page))
    parts = {re.sub(r"\.[0-9a-f]{12}", "", address.rpartition("/")[2]) for address in addresses}
    assert parts == {"style.css", "every-page.js", "steps.js", "mark.svg", "icon-180.png"}
    for address in addresses:
        answer = client.get(address)
        assert answer.status_code == 200, address
        digest = hashlib.md5(body(answer), usedforsecurity=False).hexdigest()[:12]
        assert re.search(rf"\.{digest}\.\w+$", address), address
        assert answer["Cache-Control"] == "max-age=31536000, public, immutable"
    # Whoever has the plain name gets the file, but not for long.
    plain = client.get("/static/training/css/base.css")
    assert plain["Cache-Control"] == "max-age=60, public"
    plain.close()


def test_a_file_that_is_not_there_has_no_address() -> None:
    with pytest.raises(ValueError, match=r"nothing\.css"):
        static("training/nothing.css")


def test_no_file_of_ours_names_another() -> None:
    """Names by content are made for pages; a file that named another would name it in vain."""
    for path in (ROOT / "training" / "web" / "static").rglob("*.*"):
        if path.suffix in (".css", ".js"):
            text = path.read_text()
            named = re.findall(r"@import|url\((?!#)[\"']?(?!#)|^import |import\(", text, re.M)
            assert named == [], path


def test_nothing_but_our_own_is_loaded_and_no_script_stands_in_a_page(client: Client) -> None:
    """W3C, Content Security Policy Level 3."""
    told = client.get(reverse("first"))["Content-Security-Policy"]
    rules = dict(one.strip().split(" ", 1) for one in told.split(";"))
    assert rules["default-src"] == "'none'"
    own = ("script-src", "style-src", "connect-src", "manifest-src", "worker-src", "form-action")
    assert {rules[one] for one in own} == {"'self'"}
    assert rules["img-src"] == "'self' data:"
    assert "unsafe" not in told
    assert "http" not in told


def test_the_manifest_has_what_a_phone_asks_for(client: Client) -> None:
    """W3C, Web Application Manifest: names, start, display, icons as large as they say."""
    answer = client.get(reverse("manifest"))
    assert answer["Content-Type"] == "application/manifest+json"
    told = json.loads(answer.content)
    assert told["name"] == "Within Eight"
    assert told["display"] == "standalone"
    assert client.get(told["start_url"]).status_code == 200
    for icon in told["icons"]:
        picture = body(client.get(icon["src"]))
        if icon["type"] == "image/png":
            # PNG (ISO/IEC 15948): eight bytes of signature, then the IHDR chunk.
            assert picture[:8] == b"\x89PNG\r\n\x1a\n"
            assert "{}x{}".format(*struct.unpack(">II", picture[16:24])) == icon["sizes"]
    assert {"any", "maskable"} == {icon["purpose"] for icon in told["icons"]}
    tokens = finders.find("training/css/tokens.css")
    assert isinstance(tokens, str)
    assert f"--paper: light-dark({PAPER}," in Path(tokens).read_text()


def test_the_page_in_reserve_is_the_same_for_everybody(client: Client, member: Membership) -> None:
    as_nobody = without_token(client.get(reverse("offline")).content)
    client.force_login(member.person, backend=settings.AUTHENTICATION_BACKENDS[1])
    assert without_token(client.get(reverse("offline")).content) == as_nobody


def test_the_script_in_reserve_keeps_all_that_its_page_needs(client: Client) -> None:
    script = client.get(reverse("service_worker"))
    assert script["Content-Type"] == "text/javascript; charset=utf-8"
    assert script["Cache-Control"] == "no-cache"
    reserve = json.loads(
        re.search(r"const RESERVE = (\{.*?\n\});", script.content.decode(), re.S).group(1)  # type: ignore[union-attr]
    )
    page = client.get(reserve["page"]).content.decode()
    needed = set(re.findall(r'<(?:link|script)[^>]+(?:href|src)="(/static/[^"]+)"', page))
    assert needed == set(reserve["files"])
    for address in reserve["files"]:
        assert body(client.get(address))

"""What is sent in place of our styles and scripts: fewer files and bytes, and the same meaning.

The outside sources are a parser of CSS (`tinycss2`, after W3C, CSS Syntax Level 3) and a lexer of
JavaScript (`pygments`).
"""

from __future__ import annotations

import gzip
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pygments.lexers
import pytest
import tinycss2
from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.test import Client
from django.urls import reverse
from pygments.token import Comment, Whitespace

from clubsite import static_contents
from clubsite.static_contents import content_of
from training.web.pages.errors.views import server_error

WEB = Path(settings.ROOT) / "training" / "web"
SHEET = "training/together/style.css"
SCRIPTS = sorted(
    {f"training/js/{file.name}" for file in (WEB / "static/training/js").glob("*.js")}
    | {name for name in settings.SENT_TOGETHER if name.endswith(".js")}
)
MOST_BYTES = {SHEET: 7_500, "training/together/every-page.js": 3_100}
MOST_BYTES |= {"training/together/steps.js": 6_000, "training/together/attempt.js": 5_500}


def sources(name: str) -> list[str]:
    files = [finders.find(one) for one in settings.SENT_TOGETHER.get(name, [name])]
    return [Path(str(file)).read_text(encoding="utf-8") for file in files]


def sent(name: str) -> str:
    content = content_of(name)
    assert content is not None, name
    return content.body.decode()


def meaning(nodes: list[object]) -> Iterator[tuple[object, ...]]:
    """Rules and declarations, one within the other, with no more white space than counts."""
    for node in nodes:
        if node.type == "declaration":  # type: ignore[attr-defined]
            yield node.name, words(node.value), node.important  # type: ignore[attr-defined]
            continue
        assert node.type in ("at-rule", "qualified-rule"), node  # type: ignore[attr-defined]
        inner = node.content  # type: ignore[attr-defined]
        yield (
            getattr(node, "at_keyword", ""),
            words(node.prelude, selector=node.type == "qualified-rule"),  # type: ignore[attr-defined]
            None if inner is None else tuple(meaning(blocks(inner))),
        )


def words(tokens: list[object], *, selector: bool = False) -> str:
    """White space counts between names and round a sum; not at the ends, nor beside these."""
    text = re.sub(r"\s+", " ", tinycss2.serialize(without_comments(tokens))).strip()
    return re.sub(r" ?([,>+~()=]) ?" if selector else r" ?([,:/]) ?|(?<=\() | (?=\))", r"\1", text)


def without_comments(tokens: list[object]) -> list[object]:
    return [one for one in tokens if one.type != "comment"]  # type: ignore[attr-defined]


def blocks(inner: object) -> list[object]:
    return tinycss2.parse_blocks_contents(inner, skip_comments=True, skip_whitespace=True)  # type: ignore[no-any-return]


def rules_of(sheet: str) -> list[tuple[object, ...]]:
    found = tinycss2.parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True)
    return list(meaning(found))


def test_the_one_sheet_says_what_all_of_them_say_and_in_their_order() -> None:
    files = {file.name for file in (WEB / "static/training/css").glob("*.css")}
    assert {Path(one).name for one in settings.SENT_TOGETHER[SHEET]} == files
    said = rules_of(sent(SHEET))
    assert said == [rule for source in sources(SHEET) for rule in rules_of(source)]
    assert len(said) > len(files)


@pytest.mark.parametrize(
    "rule",
    [
        "@layer a { @media print { .b > table :is(th, td) { color : red ; } } }",
        'a { inset: calc( 1px + 2px ) auto ; --x: a  b ; content: "; }  {" }',
        "a/* one */b, :root :not( .c ) ~ d { font: 400 1rem / 1.5 var( --x, serif ) !important }",
        '.of:has([value="x"]:checked) + .e { & :hover { top: -1px } }',
    ],
)
def test_odd_spaces_keep_their_meaning(rule: str) -> None:
    assert rules_of(static_contents._sheet(rule)) == rules_of(rule)
    assert len(static_contents._sheet(rule)) < len(rule)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("a .b {top: 0}", "a.b {top: 0}"),
        ("a :is(b) {top: 0}", "a:is(b) {top: 0}"),
        ("a {top: calc(1px + 2px)}", "a {top: calc(1px +2px)}"),
        ("a {margin: 0 1px}", "a {margin: 01px}"),
        ("@media print {a {top: 0}}", "@media print {a {top: 1px}}"),
        ("a {top: 0} b {top: 1px}", "b {top: 1px} a {top: 0}"),
    ],
)
def test_this_file_tells_two_meanings_apart(one: str, other: str) -> None:
    assert rules_of(one) != rules_of(other)


def lexed(script: str) -> list[tuple[str, bool]]:
    """Each token, and whether it begins a line."""
    found, new_line = [], True
    for kind, text in pygments.lexers.get_lexer_by_name("javascript").get_tokens(script):
        if kind in Comment or kind in Whitespace or not text.strip():
            new_line = new_line or "\n" in text
        else:
            # One operator or bracket at a time: where the lexer joins them depends on spaces.
            for one in re.findall(r"[\w$]+|[^\w$]", text) if re.match(r"\W+$", text) else [text]:
                found.append((one, new_line))
                new_line = False
    return found


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_script_is_what_its_sources_are(name: str) -> None:
    """Token by token; a line ends where the source relied on it (ECMA-262, 12.10: semicolons)."""
    texts = sources(name)
    before = lexed("\n".join(texts if len(texts) == 1 else [f"{{\n{one}\n}}" for one in texts]))
    after = lexed(sent(name))
    assert [one for one, _ in after] == [one for one, _ in before]
    for place, ((_, was_new), (word, is_new)) in enumerate(zip(before, after, strict=True)):
        if was_new and not is_new and place:
            last = after[place - 1][0]
            goes_on = last[-1] in "({[,;=+-*/%&|^!~?:<>." or word[0] in ")}],;=*/%&|^?:<>."
            assert goes_on, (last, word)


def test_no_script_hands_names_to_another() -> None:
    """Together each stands in a block, where nothing can be imported or exported."""
    for name in SCRIPTS:
        assert not re.search(r"^\s*(import|export)\b", "\n".join(sources(name)), re.M), name


@pytest.mark.parametrize("name", sorted(settings.SENT_TOGETHER))
def test_what_is_sent_stays_light(client: Client, name: str) -> None:
    answer = client.get(static(name), headers={"accept-encoding": "gzip"})
    body = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    assert gzip.decompress(body) == sent(name).encode()
    assert int(answer["Content-Length"]) == len(body) <= MOST_BYTES[name]
    assert answer["Cache-Control"] == "max-age=31536000, public, immutable"


@pytest.mark.django_db
def test_a_page_has_one_sheet_and_its_scripts_come_after_what_is_read(client: Client) -> None:
    for page in (client.get(reverse("first")), server_error(client.get("/").wsgi_request)):
        html = page.content.decode()
        assert re.findall(r'<link rel="stylesheet" href="([^"]+)"', html) == [static(SHEET)]
        assert "<script" not in html.partition("</footer>")[0]
    scripts = re.findall(r'<script[^>]*\ssrc="([^"]+)"', client.get("/").content.decode())
    together = ("training/together/every-page.js", "training/together/steps.js")
    assert scripts == [static(one) for one in together]


def test_it_answers_like_a_file(client: Client) -> None:
    """RFC 9110: HEAD, a part (206), what is not satisfied (416), what is known already (304)."""
    address, whole = static(SHEET), sent(SHEET).encode()
    head = client.head(address)
    assert (head.status_code, head["Content-Length"]) == (200, str(len(whole)))
    assert client.post(address).status_code == 405
    gzipped = {"accept-encoding": "gzip"}
    part = client.get(address, headers={**gzipped, "range": "bytes=10-29"})
    assert (part.status_code, b"".join(part.streaming_content)) == (206, whole[10:30])  # type: ignore[attr-defined]
    assert part["Content-Range"] == f"bytes 10-29/{len(whole)}"
    beyond = client.get(address, headers={"range": f"bytes={len(whole)}-"})
    assert beyond.status_code == 416
    for known in ({"if-none-match": head["ETag"]}, {"if-modified-since": head["Last-Modified"]}):
        answer = client.get(address, headers={**gzipped, **known})
        assert answer.status_code == 304
        assert not b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    assert client.get(address, headers={"if-none-match": 'W/"other"'}).status_code == 200
    assert head["Vary"] == "Accept-Encoding"


def test_a_source_that_changes_is_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "own.css"
    monkeypatch.setattr(settings, "STATICFILES_DIRS", [tmp_path])
    monkeypatch.setattr(finders, "find", lambda name: str(file) if name == file.name else None)
    for colour, second in (("red", 1), ("blue", 2)):
        file.write_text(f"a {{ color: {colour}; }}\n")
        os.utime(file, (second, second))
        assert sent("own.css") == f"a{{color:{colour}}}"
        assert content_of("own.css").changed == second  # type: ignore[union-attr]
    monkeypatch.setattr(settings, "SENT_TOGETHER", {"all.css": ["own.css", "gone.css"]})
    with pytest.raises(FileNotFoundError, match="gone"):
        content_of("all.css")


def test_whoever_changes_the_site_gets_the_same(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settings, "DEBUG", True)
    monkeypatch.setattr(settings, "WHITENOISE_AUTOREFRESH", True)
    answer = Client().get(f"/static/{SHEET}")
    assert b"".join(answer.streaming_content).decode() == sent(SHEET)  # type: ignore[attr-defined]
    assert answer["Cache-Control"] == "max-age=0, public"
    for odd in ("/static/../x.css", "/static/training/css/none.css"):
        assert Client().get(odd).status_code == 404


def test_what_a_package_brings_is_sent_as_its_makers_made_it() -> None:
    assert content_of("django_htmx/htmx-2.min.js") is None
    assert content_of("training/mark.svg") is None


def test_indentation_is_left_out_where_it_shows_nowhere() -> None:
    page = render_to_string("pages/errors/server_error.html")
    assert "\n" in page
    assert not re.search(r"\n[ \t]", page)
    for file in WEB.rglob("*.html"):
        source = file.read_text(encoding="utf-8")
        for inside in re.findall(
            r"<(?:pre|textarea)\b[^>]*>(.*?)</(?:pre|textarea)>", source, re.S
        ):
            assert "\n" not in inside, file
        assert not re.search(r"{% blocktranslate(?! trimmed)[^%]*%}[^{]*\n", source), file
    for sheet in sources(SHEET):
        assert not re.search(r"white-space: *(pre|break)", sheet)

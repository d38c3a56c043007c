"""The only colours there are, and that every pair of text and ground can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

WEB = Path(__file__).parents[2] / "training" / "web"
CSS = WEB / "static" / "training" / "css"
TOKENS = (CSS / "tokens.css").read_text(encoding="utf-8")

# The look's table of tokens: light, dark.
TABLE = {
    "paper": ("#FBFAF7", "#12161F"),
    "raised": ("#FFFFFF", "#1A202C"),
    "sunk": ("#F1EFE9", "#0D1017"),
    "ink": ("#1D2433", "#E8E6E1"),
    "quiet": ("#565F6D", "#A3ABB8"),
    "line": ("#8A877E", "#6B7484"),
    "accent": ("#0B656C", "#5CC2C7"),
    "on-accent": ("#FFFFFF", "#0D1017"),
    "loss": ("#9C3526", "#F09A8B"),
    "kept": ("#35602F", "#9CCB93"),
    "mark": ("#7A4F00", "#E7C873"),
}
STICKERS = ("white", "yellow", "green", "blue", "red", "orange")
PALE = {"white", "yellow", "orange"}


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, definition of that name."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, definition of that name."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def token(name: str) -> tuple[str, str]:
    pair = re.search(rf"--{name}: light-dark\((#\w{{6}}), (#\w{{6}})\);", TOKENS)
    if pair:
        return pair[1], pair[2]
    single = re.search(rf"--{name}: (#\w{{6}});", TOKENS)
    assert single, name
    return single[1], single[1]


def test_contrast_is_computed_as_the_standard_says() -> None:
    # WCAG 2.2 understanding 1.4.3: black on white is 21:1; #767676 on white is the grey that just
    # passes 4.5:1 (common practice, from memory).
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


def test_tokens_are_those_of_the_table() -> None:
    assert {name: token(name) for name in TABLE} == TABLE


@pytest.mark.parametrize("ground", ["paper", "raised", "sunk"])
@pytest.mark.parametrize("text", ["ink", "quiet", "accent", "loss", "kept", "mark"])
def test_text_is_legible_by_day_and_by_night(text: str, ground: str) -> None:
    for scheme in (0, 1):
        assert contrast(token(text)[scheme], token(ground)[scheme]) >= 5.5


def test_button_text_is_legible() -> None:
    for scheme in (0, 1):
        assert contrast(token("on-accent")[scheme], token("accent")[scheme]) >= 5.5


def test_borders_of_controls_can_be_seen() -> None:
    # WCAG 2.2, 1.4.11: 3:1 for the parts of a control.
    for scheme in (0, 1):
        for ground in ("paper", "raised", "sunk"):
            assert contrast(token("line")[scheme], token(ground)[scheme]) >= 3


@pytest.mark.parametrize("colour", STICKERS)
def test_letters_on_stickers_are_legible(colour: str) -> None:
    letter = token("on-pale-sticker" if colour in PALE else "on-deep-sticker")[0]
    assert contrast(letter, token(f"sticker-{colour}")[0]) >= 5.5


def test_no_other_colour_stands_in_a_style_sheet() -> None:
    known = {code for pair in TABLE.values() for code in pair}
    known |= {token(f"sticker-{colour}")[0] for colour in STICKERS}
    known |= {token("on-pale-sticker")[0], token("on-deep-sticker")[0]}
    written = r"#[0-9a-fA-F]{3,8}\b|\b(?:rgba?|hsla?|hwb|lab|lch|oklab|oklch)\("
    named = r":\s*(?:black|white|red|green|blue|gr[ae]y|orange|yellow|silver|navy|teal|purple)\b"
    for sheet in sorted(CSS.glob("*.css")):
        text = re.sub(r"/\*.*?\*/", "", sheet.read_text(encoding="utf-8"), flags=re.DOTALL)
        found = set(re.findall(written, text))
        assert found <= (known if sheet.name == "tokens.css" else set()), sheet.name
        assert not re.findall(named, text), sheet.name


def test_each_layer_has_its_file() -> None:
    layers = re.search(r"@layer ([^;{]+);", TOKENS)
    assert layers
    names = [name.strip() for name in layers[1].split(",")]
    assert names == ["tokens", "base", "layout", "parts", "pages", "large"]
    for name in names:
        assert f"@layer {name} {{" in (CSS / f"{name}.css").read_text(encoding="utf-8")


def test_templates_carry_no_style_no_script_and_no_colour() -> None:
    for page in sorted((WEB / "templates").rglob("*.html")):
        text = page.read_text(encoding="utf-8")
        assert not re.search(r"\sstyle=|<style", text), page.name
        assert not re.search(r"\son[a-z]+=", text), page.name
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), page.name
        assert not re.search(r'(?:fill|stroke)="(?!url\(#|none"|{%)', text), page.name


def test_every_part_says_what_it_needs() -> None:
    templates = {
        path: path.read_text(encoding="utf-8")
        for room in ("base", "pages", "parts", "pictures")
        for path in sorted((WEB / room).rglob("*.html"))
    }
    whole_pages = ("{% extends", "<!doctype", "{% load")
    parts = {path: text for path, text in templates.items() if not text.startswith(whole_pages)}
    wanted = {"eight_rule", "staircase", "moves", "net", "verdict", "ranked", "field", "notice"}
    assert wanted | {"empty"} <= {path.stem for path in parts}
    for path, text in parts.items():
        head = re.match(r"(?:\{# .* #\}\n)+", text)
        assert head, path.name
        assert "ontext" in head.group(), path.name

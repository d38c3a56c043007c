"""The sheet that is sent, as Chromium reads it (W3C, CSS Object Model), beside its sources."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders

from clubsite.static_contents import content_of
from tests.browser.conftest import Opener

AS_READ = r"""sheets => sheets.map(text => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(text);
  // What a custom property holds is told as it is written.
  return [...sheet.cssRules].map(rule => rule.cssText.replace(/,\s+/g, ","));
})"""


def test_the_browser_reads_the_one_sheet_as_it_reads_all_of_them(open_browser: Opener) -> None:
    name = "training/together/style.css"
    files = [Path(str(finders.find(one))) for one in settings.SENT_TOGETHER[name]]
    content = content_of(name)
    assert content is not None
    page = open_browser().page
    one, *all_ = page.evaluate(
        AS_READ, [content.body.decode(), *(file.read_text(encoding="utf-8") for file in files)]
    )
    assert one == [rule for sheet in all_ for rule in sheet]
    assert len("".join(one)) > len(content.body) / 2

"""A user's Markdown can say anything and do nothing."""

import pytest

from panelworth.publishing.site.prose import html_of


@pytest.mark.parametrize(
    "hostile",
    [
        "<script>alert(1)</script>",
        '<img src="x" onerror="alert(1)">',
        "[go](javascript:alert(1))",
        '<iframe src="https://example.org"></iframe>',
        '<p style="position:fixed" onclick="x()">hi</p>',
    ],
)
def test_nothing_in_a_note_can_run(hostile: str) -> None:
    made = html_of(f"before\n\n{hostile}\n\nafter").casefold()
    for word in ("<script", "onerror", "javascript:", "<iframe", "onclick", "style="):
        assert word not in made
    assert "before" in made


def test_headings_go_below_the_pages_title() -> None:
    assert html_of("# The shop") == '<h2 id="the-shop">The shop</h2>'


def test_tables_scroll_and_keep_their_alignment() -> None:
    made = html_of("| a | b |\n|---|--:|\n| 1 | 2 |")
    assert made.startswith('<div class="scroll" role="group"')
    assert '<td class="align-right">2</td>' in made


def test_text_that_looks_like_a_tag_stays_text() -> None:
    assert html_of('`<td align="right">`') == ('<p><code>&lt;td align="right"&gt;</code></p>')

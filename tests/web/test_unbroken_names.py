"""Short names of bays do not end a line at their hyphen."""

from markupsafe import Markup

from frostwatch.web.unbroken import unbroken


def test_a_bay_is_kept_in_one_piece_and_what_stands_in_markup_is_left_alone() -> None:
    assert unbroken("B-06 and C-05, +2") == Markup(
        '<span class="when">B-06</span> and <span class="when">C-05</span>, +2'
    )
    linked = Markup('<a href="/v/A-03">A-03</a>')
    assert unbroken(linked) == '<a href="/v/A-03"><span class="when">A-03</span></a>'
    assert unbroken("crew-hours, 2026-12-01, B-01..B-04") == Markup(
        'crew-hours, 2026-12-01, <span class="when">B-01</span>..<span class="when">B-04</span>'
    )


def test_what_somebody_typed_stays_text() -> None:
    assert "<script>" not in unbroken("<script>A-03</script>")

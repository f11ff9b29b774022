"""How often units fail: what the log says, whether it gets worse, and how weak that evidence is."""

from collections.abc import Iterator

from panelworth.engine.results.squawks import SquawkFigures
from panelworth.publishing.formats import joined, percent, plural, tenths
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.level_words import of_twenty
from panelworth.publishing.words.sentences import joined_sentences

FIRST_YEARS = 3  # of which a year's mean is shown: what is near is known best
MOST_UNITS = 3
FEW = 8  # failures below which a trend is weak evidence
BY_CHANCE = (0.1, 0.9)  # a trend that chance alone gives in more than 2 of 20 is none
HOW = (
    N_(
        "A unit's rate comes from its file, or from the log: with n failures in T years the mean "
        "of the Jeffreys posterior, (n + ½)/T. A trial draws the failures of each unit and year "
        "by the Poisson law. The trend is Laplace's test (NIST/SEMATECH handbook, chapter 8)."
    ),
    N_("Flying more brings no more failures here: the log counts by the calendar."),
)
SILENT = N_("The log says nothing of what has not failed yet; a handful of rows is weak evidence.")


def answer(view: View) -> list[str]:
    """Say what the log says so far, and whether failures become more frequent."""
    log = view.figures.squawks
    if log is None:
        return [_("How often each unit fails is an estimate: there is no log of squawks.")]
    return [joined_sentences(*_so_far(log)), _trend(log)]


def _so_far(log: SquawkFigures) -> Iterator[str]:
    years = tenths(log.years)
    failures = plural(log.count, "failure", "failures")
    yield _("The log has {failures} in {years} years.", failures=failures, years=years)
    most = [f"{name} ({count})" for name, count in log.most_often[:MOST_UNITS]]
    if most:
        yield _("Most often: {units}.", units=joined(most))


def _trend(log: SquawkFigures) -> str:
    if log.laplace is None or log.p_laplace is None or log.growth is None:
        return _("So few say nothing about whether it gets worse.")
    weak = _("So few are weak evidence.") if log.count < FEW else ""
    if BY_CHANCE[0] < log.p_laplace < BY_CHANCE[1]:
        return joined_sentences(_("They have become neither more nor less frequent."), weak)
    growth = percent(abs(log.growth), 0)
    if log.laplace > 0:
        text = N_("They have become {growth} a year more frequent; by chance alone in {count}.")
        return joined_sentences(_(text, growth=growth, count=of_twenty(log.p_laplace)), weak)
    return joined_sentences(
        _("They have become {growth} a year less frequent.", growth=growth), weak
    )


def head() -> list[str]:
    """Return the headings of the table of options."""
    return [_("Option"), _("Failures a year"), _("Days grounded a year")]


def row(view: View, tag: OptionTag) -> list[str]:
    """Return what failures cost, and how many days they ground the airplane, a year."""
    cost, days = view.series(tag.id).failures_a_year(_years(view))
    return [tag.short, view.formats.money(cost), tenths(days)]


def caption(view: View) -> str:
    """Say over which years a mean is taken."""
    years = plural(_years(view), "year", "years")
    return _("Likely, each of the first {years}", years=years)


def _years(view: View) -> int:
    years = view.figures.years
    return min(FIRST_YEARS, years)

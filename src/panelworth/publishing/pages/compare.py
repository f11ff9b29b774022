"""The comparison: sliders with their effect on each option, and all figures in one table."""

from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.publishing.formats import plural
from panelworth.publishing.language import _
from panelworth.publishing.pages.compare_sliders import SCRIPT, whatif, whatif_script
from panelworth.publishing.view import Page, View
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, MONEY_LINE
from panelworth.publishing.words.compare_words import comparison_rows, promise
from panelworth.publishing.words.made_of_words import made_of_rows
from panelworth.publishing.words.warning_words import notes, still_as_planned


def compare_page(view: View) -> Page:
    """Return the page with sliders for prices, hours and members, and the table of figures."""
    sliders = whatif(view)
    return Page(
        file="compare.html",
        template="compare.html",
        title=_("The options compared"),
        nav=_("Compare"),
        door=(_("What if?"), promise(view.club)),
        description=_(
            "What each option costs and brings, and what would change it: {title}",
            title=view.case.scenario.title,
        ),
        later={SCRIPT: whatif_script(view)} if sliders else {},
        content={
            "lead": _lead(view),
            "baseline": view.baseline,
            "options": list(view.tags.values()),
            "others": view.others,
            "whatif": sliders,
            "figures": comparison_rows(view),
            "warns": notes(view),
            "note": still_as_planned(view),
            "made_of": made_of_rows(view),
            "cautions": [_(MONEY_LINE), *_airplane_line(view.figures)],
        },
    )


def _lead(view: View) -> str:
    if not view.others:
        return _("There is one option: nothing to compare it with.")
    return _(
        "Move what you doubt, and see what each option then likely brings against {baseline} over "
        "{years}. Hollow marks: as planned.",
        baseline=view.baseline.short,
        years=plural(view.figures.years, "year", "years"),
    )


def _airplane_line(figures: Figures) -> list[str]:
    """Return the caution on the airplane if the table has figures of it."""
    airplane = figures.airplane
    return [_(AIRPLANE_LINE)] if airplane.weight or airplane.failures else []

"""The Charts sheet: cumulative cost and the reserve, from the cells of the months."""

from collections.abc import Mapping
from typing import Any

from panelworth.publishing.charts import axes as charts
from panelworth.publishing.language import _
from panelworth.publishing.workbook.book import Sheet
from panelworth.publishing.workbook.month_table import MonthTable

DASHES = ("solid", "dash", "round_dot", "dash_dot", "long_dash", "square_dot", "long_dash_dot")
SIZE = {"width": 980, "height": 420}  # pixels


def write_charts(sheet: Sheet, tables: Mapping[str, MonthTable]) -> None:
    """Write the charts, with one line for each option.

    Lines differ in their dashes too, for readers who do not see the colours and for black prints.
    """
    sheet.write(0, 0, _("Charts"), "title")
    note = _("They follow the inputs. The figures are in the columns of the months' sheets.")
    sheet.write(1, 0, note)
    sheet.worksheet.fit_to_pages(1, 1)
    _insert_chart(sheet, 3, tables, "cost_so_far", _("Cost so far, in months from “As of”"))
    if sheet.book.view.club:
        title = _("Reserve at each month's end, under its own funding")
        _insert_chart(sheet, 26, tables, "reserve", title)


def _insert_chart(
    sheet: Sheet, row: int, tables: Mapping[str, MonthTable], key: str, title: str
) -> None:
    view = sheet.book.view
    chart = sheet.book.file.add_chart({"type": "scatter", "subtype": "straight"})
    for option_id, table in tables.items():
        tag = view.tags[option_id]
        chart.add_series(
            {
                "name": [table.sheet.title, 0, 0],  # a title itself could start a formula
                "categories": f"={table.column('month')}",
                "values": f"={table.column(key)}",
                "line": {
                    "color": charts.option_colour(tag.number),
                    "width": 2,
                    "dash_type": DASHES[(tag.number - 1) % len(DASHES)],
                },
            }
        )
    axis: dict[str, Any] = {
        "min": 0,
        "max": table.months,
        "major_unit": 12,
        "label_position": "low",
    }
    chart.set_title({"name": title, "name_font": {"size": 12}, "overlay": False})
    chart.set_x_axis({"name": _("Month"), "major_gridlines": {"visible": False}, **axis})
    money = {"name": view.figures.currency, "num_format": "#,##0"}
    chart.set_y_axis({**money, "major_gridlines": {"visible": True, "line": {"color": "#DDD8CC"}}})
    chart.set_legend({"position": "bottom"})
    chart.set_size(SIZE)
    description = _(
        "{title}: one line an option; the figures are in the sheets of months.", title=title
    )
    sheet.worksheet.insert_chart(row, 0, chart, {"description": description})

"""Calendar months counted from `as_of`: all figures use this count."""

import math
from datetime import date, timedelta
from typing import Annotated

from pydantic import AfterValidator, WithJsonSchema

from panelworth.model.value import refuse

DAYS_IN_A_WEEK = 7
FIRST_YEAR, LAST_YEAR = 1900, 2999
DATE_SCHEMA = {"type": "string", "format": "date", "pattern": "^(19|2[0-9])[0-9]{2}-"}


def supported_day(day: date) -> date:
    """Refuse a day outside the years 1900 to 2999.

    Every date of a user is checked so. Python's calendar has the years 1 to 9999: far from both
    ends, no sum of days can leave it.
    """
    if day.year > LAST_YEAR:
        hint = f"for “never” leave it out, or write {LAST_YEAR}-12-31 where a day must be"
        raise refuse(f"a day up to the year {LAST_YEAR}", day, hint)
    if day.year < FIRST_YEAR:
        hint = f"write the year with its four digits; for “long ago” {FIRST_YEAR}-01-01 will do"
        raise refuse(f"a day from the year {FIRST_YEAR} on", day, hint)
    return day


Day = Annotated[date, AfterValidator(supported_day), WithJsonSchema(DATE_SCHEMA)]


def month_index(as_of: date, day: date) -> int:
    """Return the whole calendar months of `day` after the month of `as_of`.

    >>> month_index(date(2026, 11, 20), date(2027, 1, 1))
    2
    """
    return (day.year - as_of.year) * 12 + day.month - as_of.month


def month_start(as_of: date, index: int) -> date:
    """Return the first day of the month with this index.

    >>> month_start(date(2026, 11, 20), 2)
    datetime.date(2027, 1, 1)
    """
    years, month = divmod(as_of.month - 1 + index, 12)
    return date(as_of.year + years, month + 1, 1)


def day_after_weeks(start: date, weeks: float) -> date:
    """Return the day that contains `start` plus a real number of weeks.

    A part of a day is cut off, since the event falls within that day.

    >>> day_after_weeks(date(2027, 1, 11), 1.5)
    datetime.date(2027, 1, 21)
    """
    return start + timedelta(days=int(DAYS_IN_A_WEEK * weeks))


def days_away(weeks: float) -> int:
    """Return the number of days in a real number of weeks, a part of a day counted as a day.

    An airplane that is away for a part of a day is away on that day.

    >>> days_away(1.5), days_away(2.0)
    (11, 14)
    """
    return math.ceil(DAYS_IN_A_WEEK * weeks)


def last_day_of_month(as_of: date, index: int) -> date:
    """Return the last day of the month with this index.

    >>> last_day_of_month(date(2026, 11, 20), 3)
    datetime.date(2027, 2, 28)
    """
    return month_start(as_of, index + 1) - timedelta(days=1)


def last_good_day(done: date, months: int) -> date:
    """Return the last day of the Nth month after the one in which something was done.

    "Within the preceding N calendar months" (14 CFR 91.409, 91.411, 91.413): valid to the end of
    that month, whatever the day on which it was done.

    >>> last_good_day(date(2026, 3, 15), 24)
    datetime.date(2028, 3, 31)
    """
    return last_day_of_month(done, months)

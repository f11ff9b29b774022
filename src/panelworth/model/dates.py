"""Months counted from the day a scenario is stated for: the one clock of all figures."""

from datetime import date, timedelta


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
    """Return the day in which `start` plus a real number of weeks falls.

    >>> day_after_weeks(date(2027, 1, 11), 1.5)
    datetime.date(2027, 1, 21)
    """
    return start + timedelta(days=int(7 * weeks))

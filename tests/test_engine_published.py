"""No published case of finance is lost between the data and the tests."""

import test_engine_published_rates  # noqa: F401 (read, so that its calls are counted)
import test_engine_published_worth  # noqa: F401 (likewise)
from finance_cases import CALLS_TESTED, CASES, PUBLISHED


def test_every_published_case_is_tested_or_left_out_with_a_reason() -> None:
    """No case is lost between the data and the tests."""
    assert {case.call for case in CASES.values()} == CALLS_TESTED
    assert len(CASES) == len(PUBLISHED["cases"])
    assert not CASES.keys() & PUBLISHED["left_out"].keys()
    assert all(PUBLISHED["left_out"].values())

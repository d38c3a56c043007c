"""Makes every skipped test an error where everything has to run (``WITHIN_EIGHT_NO_SKIPS``)."""

from __future__ import annotations

from collections.abc import Generator

import pytest


def _refuse(report: pytest.TestReport | pytest.CollectReport) -> None:
    # An expected failure is reported as skipped too, and is none.
    if report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"Skipped where nothing may be left out. {reason}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skip inside a test or its fixtures into a failure."""
    report = yield
    _refuse(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Turn the skip of a whole file into a failure."""
    report = yield
    _refuse(report)
    return report

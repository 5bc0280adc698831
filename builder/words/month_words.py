"""A month's tests in words."""

from __future__ import annotations

from builder.findings.month_by_month import MonthOfTests
from builder.words.catalogue import count, say


def month_label(month: str) -> str:
    """Say a month: "2024-11" is "November 2024"."""
    year, _, number = month.partition("-")
    return say(f"month.m{number}", year=year)


def month_sentence(month: MonthOfTests) -> str:
    """Say how much was tested in a month."""
    return say("news.month", tests=count("test", month.tests), wearers=count("wearer", month.wearers))

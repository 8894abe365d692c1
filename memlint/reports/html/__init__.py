"""The HTML page of `memlint report`: one file that needs no network."""

from memlint.reports.html.page import report_html

__all__ = ["report_html"]

"""Site: the workbook as a static web site, with Python in the page and nothing to install."""

from theorykit.site.building import build_site

__all__ = ["build_site"]

"""A tune on the page and in the making."""

from theorykit.views.tune.chorus_views import ChorusView, ChorusWishes, chorus_view
from theorykit.views.tune.job_view import JOB_HEADS, job_caption, job_rows
from theorykit.views.tune.tune_draft import EXAMPLE, NEW, PROPOSALS, TuneDraft
from theorykit.views.tune.tune_views import (
    CadenceView,
    TuneView,
    cadence_takes,
    cadence_view,
    tune_view,
)

__all__ = [
    "EXAMPLE",
    "JOB_HEADS",
    "NEW",
    "PROPOSALS",
    "CadenceView",
    "ChorusView",
    "ChorusWishes",
    "TuneDraft",
    "TuneView",
    "cadence_takes",
    "cadence_view",
    "chorus_view",
    "job_caption",
    "job_rows",
    "tune_view",
]

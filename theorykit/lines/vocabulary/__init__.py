"""Vocabulary: phrases placed where they fit, grown by a lead-in, and taken through colours."""

from theorykit.lines.vocabulary.ideas import OneIdea, one_idea
from theorykit.lines.vocabulary.leading_in import lead_ins
from theorykit.lines.vocabulary.placing import placed_over

__all__ = ["OneIdea", "lead_ins", "one_idea", "placed_over"]

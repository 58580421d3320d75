"""Questions made from the theory: what is asked, shown and heard, and the judge of answers."""

from theorykit.study.questions.do_kinds import LineJudge
from theorykit.study.questions.heard import Heard
from theorykit.study.questions.kinds_of_question import KINDS_OF_QUESTION, kind_named, question
from theorykit.study.questions.question import LEVELS, WAYS, Judgement, Question, QuestionKind

__all__ = [
    "KINDS_OF_QUESTION",
    "LEVELS",
    "WAYS",
    "Heard",
    "Judgement",
    "LineJudge",
    "Question",
    "QuestionKind",
    "kind_named",
    "question",
]

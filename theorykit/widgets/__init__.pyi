from theorykit.widgets.drills import (
    ClassAnswersPage as ClassAnswersPage,
    Drill as Drill,
    EarTraining as EarTraining,
    JournalDesk as JournalDesk,
    class_answers as class_answers,
    drill as drill,
    ear_training as ear_training,
    journal as journal,
)
from theorykit.widgets.exploring import Explorer as Explorer, explorer as explorer
from theorykit.widgets.handouts import HandoutDesk as HandoutDesk, handout_desk as handout_desk
from theorykit.widgets.identifying import (
    IdentifyNotes as IdentifyNotes,
    identify_notes as identify_notes,
)
from theorykit.widgets.lines import LineDesk as LineDesk, line_desk as line_desk
from theorykit.widgets.phrases import PhraseShelf as PhraseShelf, phrase_book as phrase_book
from theorykit.widgets.playing import IPlay as IPlay, i_play as i_play
from theorykit.widgets.shelves import (
    Shelf as Shelf,
    WorkFile as WorkFile,
    shelf as shelf,
    work_file as work_file,
)
from theorykit.widgets.substituting import (
    Substitutions as Substitutions,
    substitutions as substitutions,
)
from theorykit.widgets.tabling import SubsetTable as SubsetTable, subset_table as subset_table
from theorykit.widgets.takes import PlayIn as PlayIn, play_in as play_in
from theorykit.widgets.tunes import TuneDesk as TuneDesk, tune_desk as tune_desk

"""Every screen by its name: a function that loads its module and builds it, called when it is first shown.

So the first screen is there soon, and what is never opened is never loaded.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from drillapp.screens.frame.base import App, Screen


def _today(app: App) -> Screen:
    from drillapp.screens.learner.today import Today

    return Today(app)


def _progress(app: App) -> Screen:
    from drillapp.screens.learner.progress import Progress

    return Progress(app)


def _forecasts(app: App) -> Screen:
    from drillapp.screens.learner.forecasts import ForecastsHeld

    return ForecastsHeld(app)


def _signs(app: App) -> Screen:
    from drillapp.screens.learner.signs import Signs

    return Signs(app)


def _meet(app: App) -> Screen:
    from drillapp.screens.learner.meet import Meet

    return Meet(app)


def _keys(app: App) -> Screen:
    from drillapp.screens.learner.key_list import KeyList

    return KeyList(app)


def _learners(app: App) -> Screen:
    from drillapp.screens.learner.learners import Learners

    return Learners(app)


def _settings(app: App) -> Screen:
    from drillapp.screens.learner.settings import SettingsView

    return SettingsView(app)


def _first(app: App) -> Screen:
    from drillapp.screens.learner.first import First

    return First(app)


def _cautions(app: App) -> Screen:
    from drillapp.screens.learner.cautions import Cautions

    return Cautions(app)


def _calibration(app: App) -> Screen:
    from drillapp.screens.sound.calibration import CalibrationView

    return CalibrationView(app)


def _decks(app: App) -> Screen:
    from drillapp.screens.decks.decks import Decks

    return Decks(app)


def _deck_editor(app: App) -> Screen:
    from drillapp.screens.decks.deck_editor import DeckEditor

    return DeckEditor(app)


def _deck_file(app: App) -> Screen:
    from drillapp.screens.decks.deck_file import DeckFile

    return DeckFile(app)


def _drill(app: App) -> Screen:
    from drillapp.screens.questions.drill import Drill

    return Drill(app)


def _look_up(app: App) -> Screen:
    from drillapp.screens.questions.look_up import LookUp

    return LookUp(app)


def _answer(app: App) -> Screen:
    from drillapp.screens.questions.answer import AnswerView

    return AnswerView(app)


def _strum(app: App) -> Screen:
    from drillapp.screens.questions.strum import StrumIt

    return StrumIt(app)


def _write(app: App) -> Screen:
    from drillapp.screens.questions.write import WriteDown

    return WriteDown(app)


def _hand_result(app: App) -> Screen:
    from drillapp.screens.questions.hand_result import HandResult

    return HandResult(app)


def _play_along(app: App) -> Screen:
    from drillapp.screens.playing.play_along import PlayAlong

    return PlayAlong(app)


def _summary(app: App) -> Screen:
    from drillapp.screens.questions.summary import SummaryView

    return SummaryView(app)


def _finding(app: App) -> Screen:
    from drillapp.screens.questions.finding import FindingView

    return FindingView(app)


def _hand_in(app: App) -> Screen:
    from drillapp.screens.learner.hand_in import HandInView

    return HandInView(app)


def _work_file(app: App) -> Screen:
    from drillapp.screens.learner.work_file import WorkFile

    return WorkFile(app)


def _choose_file(app: App) -> Screen:
    from drillapp.screens.files.choose_file import ChooseFile

    return ChooseFile(app)


def _choose_row(app: App) -> Screen:
    from drillapp.screens.files.choose_row import ChooseRow

    return ChooseRow(app)


def _desk(app: App) -> Screen:
    from drillapp.screens.desk.desk import Desk

    return Desk(app)


def _desk_lock(app: App) -> Screen:
    from drillapp.screens.desk.desk_lock import DeskLock

    return DeskLock(app)


def _desk_roll(app: App) -> Screen:
    from drillapp.screens.desk.desk_roll import DeskRoll

    return DeskRoll(app)


def _desk_collect(app: App) -> Screen:
    from drillapp.screens.desk.desk_collect import DeskCollect

    return DeskCollect(app)


def _desk_class(app: App) -> Screen:
    from drillapp.screens.desk.desk_class import DeskClass

    return DeskClass(app)


def _desk_student(app: App) -> Screen:
    from drillapp.screens.desk.desk_student import DeskStudent

    return DeskStudent(app)


def _desk_work(app: App) -> Screen:
    from drillapp.screens.desk.desk_work import DeskWork

    return DeskWork(app)


def _desk_keep(app: App) -> Screen:
    from drillapp.screens.desk.desk_keep import DeskKeep

    return DeskKeep(app)


def _desk_print(app: App) -> Screen:
    from drillapp.screens.desk.desk_print import DeskPrint

    return DeskPrint(app)


def _stopped(app: App) -> Screen:
    from drillapp.screens.frame.stopped import Stopped

    return Stopped(app)


SCREENS: Mapping[str, Callable[[App], Screen]] = {
    "today": _today,
    "progress": _progress,
    "forecasts": _forecasts,
    "signs": _signs,
    "meet": _meet,
    "keys": _keys,
    "learners": _learners,
    "settings": _settings,
    "cautions": _cautions,
    "first": _first,
    "calibration": _calibration,
    "decks": _decks,
    "deck_editor": _deck_editor,
    "deck_file": _deck_file,
    "drill": _drill,
    "look_up": _look_up,
    "answer": _answer,
    "strum": _strum,
    "write": _write,
    "hand_result": _hand_result,
    "play_along": _play_along,
    "summary": _summary,
    "finding": _finding,
    "hand_in": _hand_in,
    "work_file": _work_file,
    "choose_file": _choose_file,
    "choose_row": _choose_row,
    "desk": _desk,
    "desk_lock": _desk_lock,
    "desk_roll": _desk_roll,
    "desk_collect": _desk_collect,
    "desk_class": _desk_class,
    "desk_student": _desk_student,
    "desk_work": _desk_work,
    "desk_keep": _desk_keep,
    "desk_print": _desk_print,
    "stopped": _stopped,
}

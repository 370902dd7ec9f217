"""The way of a drill: a sitting begins, its questions are put, what came of each is shown, and its end.

While the learner answers, the sounds and then the whole next question are made ready.
"""

from __future__ import annotations

import time

from kivy.clock import Clock

from drillapp.drills.kinds import KINDS
from drillapp.drills.lessons import to_meet
from drillapp.practice.notice import Notice
from drillapp.practice.sitting import Sitting
from drillapp.screens.frame.base import App
from drillapp.screens.questions.drill_state import DrillState
from drillapp.words.after import no_other_page
from drillapp.words.plan import changed

TIDY_AFTER = 0.4
"""seconds after a question is put, while the learner reads and nothing is played or timed yet"""


def begin(app: App, sitting: Sitting) -> None:
    """Begin a sitting, or go on with it."""
    setting = app.practice.setting
    next_question(
        app, DrillState(sitting, time.monotonic, int(setting("count_in")), setting("voice"), setting("click"))
    )


def next_question(app: App, drilling: DrillState) -> None:
    """Put the sitting's next question, or show its end."""
    task = drilling.next()
    app.is_over("plan")
    if task is not None:
        if task.change is not None:
            app.tell(Notice("plan", changed(task.change)))
        put(app, drilling)
    else:
        app.go(drilling.ends_with, drilling=drilling)


def put(app: App, drilling: DrillState) -> None:
    """Show the question, after a lesson on each of its signs that was not met; a check is not held up."""
    unmet: tuple[str, ...] = ()
    if not drilling.in_check:
        task = drilling.task
        unmet = to_meet(drilling.pages, task.layers, app.practice.met_signs(), task.asked)
    if unmet:
        app.go("meet", feature=unmet[0], then=lambda: put(app, drilling), asks=True)
        return
    drilling.shown()
    app.go(drilling.kind.screen, drilling=drilling)


def give(app: App, drilling: DrillState, given: object) -> None:
    """Give an answer (None: Not sure), and show what came of it once it is on disk."""
    result = drilling.answer(given)
    if drilling.in_placing and result.kept:
        if result.notice:
            app.tell(Notice("log", result.notice))
        next_question(app, drilling)  # nothing is explained yet: it is only to be seen what is read
    else:
        show_answered(app, drilling)


def show_answered(app: App, drilling: DrillState) -> None:
    """What the answer came to, which is on disk."""
    assert drilling.result is not None
    if drilling.result.notice:
        app.tell(Notice("log", drilling.result.notice))
    app.go(drilling.kind.shows, drilling=drilling)


def take_back(app: App, drilling: DrillState) -> None:
    """Take the answer back, and put its question again."""
    if drilling.may_take_back:
        notice = drilling.take_back()
        if notice:
            app.tell(Notice("log", notice))
        app.go(drilling.kind.screen, drilling=drilling)


def another(app: App, drilling: DrillState) -> None:
    """Put another question like the one that was misread, or say that there is none."""
    if drilling.another() is None:
        app.tell(Notice("plan", no_other_page()))
    else:
        app.go(drilling.kind.screen, drilling=drilling)


def prepare_next(app: App, drilling: DrillState) -> None:
    """Make the sounds of this question ready, then the whole next one, while the learner answers."""
    sounds = app.speaker.sounds

    def job() -> None:
        for sound in drilling.sounds_of(drilling.task):
            sounds.ready(sound)
        coming = drilling.prepare()
        if coming is None:
            return
        screen = app.screen_made(KINDS[coming.drill].screen)
        if screen is not None:
            screen.set_ahead(coming)
        for sound in drilling.sounds_of(coming):
            sounds.ready(sound)
        app.tidy.trim()

    Clock.schedule_once(lambda _dt: app.tidy.question(), TIDY_AFTER)
    app.worker.do(job)

"""The teacher's screen: a class prepared on one page, its papers to take home, and learners' files put together."""

import os
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.contents import LESSONS
from kit.lessons.teaching.class_papers import ClassPapers, ClassWishes, prepare_papers
from kit.lessons.teaching.file_links import link_files, write_plain_table
from kit.lessons.teaching.stumbles_view import StumblesView
from kit.look import lay_beside
from kit.model.pattern import Pattern
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import Study, open_study
from kit.study.quilt_folder import find_folder, list_demonstrations, list_quilts, read_working
from kit.work_screen import WorkScreen

STYLE = {"description_width": "150px"}
WIDE = {"width": "400px", "max_width": "100%"}
BUTTON = {"width": "160px"}
SYSTEMS = {"as the study": "", "inches": "inch", "centimetres": "metric"}


def teach(study: Study | str | os.PathLike[str] | None = None) -> "TeacherScreen":
    """Return the teacher's screen: a class is prepared, and learners' files show who stumbles where.

    Choose the quilt, the students, the hours, the system and the lessons; the screen then shows supplies, kits,
    step-outs, timetable and exercises with their answers, and offers each as a download. Hand in the learners'
    files, and it says who stumbles where, by slip and lesson, and makes a sheet that aims at the commonest slips.

    Parameters
    ----------
    study
        A study or its path; without one, the quilt that you work on, else a demonstration.

    Raises
    ------
    KitError
        A study that cannot be read.
    """
    return TeacherScreen(study)


class TeacherScreen(WorkScreen):
    """The teacher's screen.

    Attributes
    ----------
    papers
        The papers of the class, once they are prepared.
    stumbles
        The part for learners' files.
    """

    def __init__(self, study: Study | str | os.PathLike[str] | None = None) -> None:
        super().__init__()
        self.add_class("seamproof-teacher")
        self.papers: ClassPapers | None = None
        self._made: tuple[object, Pattern] | None = None
        self._make_fields(study)
        self.prepare, halt = (
            widgets.Button(description=words, layout=BUTTON) for words in ("Prepare the class", "Stop")
        )
        self.prepare.button_style = "primary"
        self._prepare(self.prepare, halt, "Choose what the class needs, then prepare it.")
        self.bar = widgets.FloatProgress(min=0.0, max=1.0, layout=widgets.Layout(width="200px", max_width="100%"))
        self.shown = widgets.VBox()
        self.stumbles = StumblesView(lambda: (self._find_system(), self.paper.value))
        head = widgets.HTML(
            "<h3>Your class</h3><p>Every paper of a class from one quilt, and what the learners' answers say.</p>"
        )
        row = widgets.Layout(flex_flow="row wrap")
        controls = widgets.VBox(
            [
                *self.fields, self.lessons_label, self.lesson_box,
                widgets.HBox([self.prepare, self.halt, self.bar], layout=row), self.said,
            ]
        )  # fmt: skip
        self.children = (head, lay_beside(controls, self.shown), self.stumbles)

    # The fields

    def _make_fields(self, study: Study | str | os.PathLike[str] | None) -> None:
        options, first = _list_studies(study)
        self.study = self._field(widgets.Dropdown, "Quilt", options=options, value=first)
        self.students = self._field(widgets.BoundedIntText, "Students", value=12, min=1, max=200)
        self.spare = self._field(widgets.BoundedIntText, "Kits to spare", value=1, min=0, max=20)
        self.start = self._field(widgets.Text, "Begins at", value="10:00")
        self.hours = self._field(widgets.BoundedFloatText, "Hours", value=6.0, min=1.0, max=12.0, step=0.5)
        self.pace = self._field(widgets.BoundedFloatText, "Pace, times the plan", value=1.5, min=1, max=5, step=0.1)
        self.at_home = widgets.Checkbox(value=False, indent=False, description="Pieces are cut at home")
        self.system = self._field(widgets.Dropdown, "System", options=list(SYSTEMS.items()), value="")
        usual = "A4" if self._find_system() == "metric" else "Letter"
        self.paper = self._field(widgets.Dropdown, "Paper", options=["Letter", "A4"], value=usual)
        self.seed = self._field(widgets.BoundedIntText, "Number of the sheet", value=1, min=1, max=9999)
        self.count = self._field(widgets.BoundedIntText, "Exercises on it", value=12, min=1, max=60)
        self.fields = (
            self.study, self.students, self.spare, self.start, self.hours, self.pace, self.at_home, self.system,
            self.paper, self.seed, self.count,
        )  # fmt: skip
        self.lessons_label = widgets.HTML("<b>Lessons</b>")
        self.lessons = {
            name: widgets.Checkbox(value=name in ("allowance", "sizes"), indent=False, description=lesson.title)
            for name, lesson in LESSONS.items()
        }
        self.lesson_box = widgets.VBox(list(self.lessons.values()))

    def _field(self, kind: Any, label: str, **more: Any) -> Any:
        return kind(description=label, style=STYLE, layout=widgets.Layout(**WIDE), **more)

    def read_wishes(self, system: System) -> ClassWishes:
        """Return what the fields say.

        Raises
        ------
        KitError
            No lesson is chosen.
        """
        chosen = tuple(name for name, box in self.lessons.items() if box.value)
        if not chosen:
            raise KitError("No lesson is chosen", needed="at least one, for the sheet", do="tick a lesson")
        return ClassWishes(
            self.students.value, self.spare.value, self.hours.value, self.start.value, self.pace.value,
            self.at_home.value, chosen, self.seed.value, self.count.value, system, self.paper.value,
        )  # fmt: skip

    def _find_system(self) -> System:
        """Return the system that is chosen; that of the quilt where it is left to it."""
        if self.system.value:
            return "metric" if self.system.value == "metric" else "inch"
        try:
            return self._open().measures.system
        except KitError:
            return "inch"

    def _open(self) -> Study:
        chosen = self.study.value
        return chosen if isinstance(chosen, Study) else open_study(chosen)

    # The work

    def _work(self) -> None:
        self._follow("the quilt is planned", 0, 5)
        pattern = self._plan()
        wishes = self.read_wishes(pattern.study.measures.system)
        self.papers = prepare_papers(pattern, wishes, self._follow)
        self._show(pattern, wishes, self.papers)

    def _plan(self) -> Pattern:
        """Return the pattern in the chosen system; planned again only if another quilt or system was chosen."""
        study = self._open()
        asked = (study, self.system.value)
        if self._made is None or self._made[0] != asked:
            pattern = make_pattern(study)
            self._made = (asked, redraft(pattern, self._find_system()))
        return self._made[1]

    def _follow(self, what: str, done: float, whole: float) -> bool:
        self.bar.value = done / whole
        self._say(f"Preparing: {what}")
        return self._stop.is_set()

    def _show(self, pattern: Pattern, wishes: ClassWishes, papers: ClassPapers) -> None:
        self.bar.value = 1.0
        self._say(f"Prepared for {wishes.students} students: {pattern.study.title}.")
        parts = {**papers.tables, f"Exercises, sheet {wishes.seed}, with answers": papers.questions}
        tables = [widgets.HTML(write_plain_table(table)) for table in parts.values()]
        sections = widgets.Accordion(children=tables, titles=tuple(parts), selected_index=0)
        links = widgets.HTML(f"<h4>To take with you</h4>{link_files(papers.files, 'class.zip')}")
        self.shown.children = (links, sections)


def _list_studies(study: Study | str | os.PathLike[str] | None) -> tuple[list[tuple[str, Any]], Any]:
    """Return the quilts to choose from, the maker's own first, and the one that is chosen at the start."""
    options: list[tuple[str, Any]] = []
    if isinstance(study, Study):
        options.append((study.title, study))
    elif study is not None:
        options.append((open_study(study).title, os.fspath(study)))
    working = read_working()
    own = [*([working] if working else []), *(quilt.path for quilt in list_quilts(find_folder()))]
    for path in dict.fromkeys([*own, *list_demonstrations()]):
        name = path.stem.replace("-", " ").capitalize()
        if name not in dict(options):
            options.append((name, str(path)))
    if study is not None or working:
        return options, options[0][1]
    simple = next((value for _, value in options if Path(str(value)).stem == "ferry-steps"), options[0][1])
    return options, simple

"""What the server knows of one editor: its documents, their projects, what was published."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Protocol

from lsprotocol import types

from memlint.engine.config import CONFIG_NAME, find_config
from memlint.server import reports
from memlint.server.analysis import Analysis, FileAnswer, Task
from memlint.server.client import Client
from memlint.server.diagnostics import held_back
from memlint.server.documents import Document, Documents
from memlint.server.places import uri_of
from memlint.server.preferences import Preferences
from memlint.server.progress import Progress, ProgressBar
from memlint.server.project import Project
from memlint.server.reports import Reports
from memlint.server.worker import Worker

REST_SECONDS = 1.0
"""How long a line must be left alone before it is held to be finished."""

Others = Mapping[Path, tuple[types.Diagnostic, ...]]


class Editor(reports.Editor, ProgressBar, Protocol):
    """What the session says to the editor."""

    def refresh_hints(self) -> None:
        """Asks the editor to ask for inlay hints again."""

    def refresh_lenses(self) -> None:
        """Asks the editor to ask for code lenses again."""

    def failed(self, where: str, error: Exception) -> None:
        """Tells of a mistake of our own, without disturbing anyone."""


class Session:
    """Everything the handlers of requests share. Lives in the event loop's thread."""

    def __init__(self, editor: Editor) -> None:
        self.client = Client()
        self.documents = Documents()
        self.worker = Worker()
        self._editor = editor
        self._projects: dict[Path | str, Project] = {}
        self._project_of: dict[str, Project] = {}
        self.preferences = Preferences()
        self.reports = Reports(editor)
        self._progress: dict[str, Progress] = {}
        self._others: dict[Project, Others] = {}
        self._rests: dict[str, asyncio.TimerHandle] = {}

    def project_of(self, uri: str) -> Project | None:
        """The project that speaks about an open document."""
        return self._project_of.get(uri)

    @property
    def projects(self) -> tuple[Project, ...]:
        """Every project that has a document open."""
        return tuple(self._projects.values())

    def prefer(self, preferences: Preferences) -> None:
        """Shows what the user wants to see from now on."""
        if preferences == self.preferences:
            return
        before, self.preferences = self.preferences, preferences
        for project in self.projects:
            project.touch()
        if before.lenses != preferences.lenses and self.client.refreshes_lenses:
            self._editor.refresh_lenses()

    def give_up(self, token: str | int) -> None:
        """The user does not want to wait for what a progress bar shows."""
        if (progress := self._progress.get(str(token))) is not None:
            progress.stop()

    def open(self, item: types.TextDocumentItem) -> None:
        """Takes a document over from the editor."""
        document = self.documents.open(item)
        if document.path is not None and (ours := uri_of(document.path)) != document.uri:
            # The editor writes the file's URI in another way than we did while it was closed.
            self.reports.say(ours, None, ())
        self._assign(document)
        self._touch_readers(document)

    def change(self, params: types.DidChangeTextDocumentParams) -> None:
        """Applies an editor's changes to a document that it has open."""
        identity = params.text_document
        document = self.documents.change(
            identity.uri, identity.version, params.content_changes, self.client.encoding
        )
        if document is None:
            return
        self._rest_later(document.uri)
        self._touch_readers(document)

    def save(self, uri: str) -> None:
        """A document is on the disk as it is here: whoever reads the disk sees it now."""
        document = self.documents.get(uri)
        if document is None:
            return
        self._rest(uri)
        self._assign(document)
        if document.path is not None:
            self.changed_on_disk([document.path])

    def close(self, uri: str) -> None:
        """Gives a document back: from now on the disk counts."""
        document = self.documents.close(uri)
        if document is None:
            return
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        project = self._project_of.pop(uri)
        project.members.discard(uri)
        project.answers.pop(uri, None)
        self.reports.forget(uri)
        self._drop_if_empty(project)
        self._touch_readers(document)

    def changed_on_disk(self, paths: Iterable[Path]) -> None:
        """Files were written, created or deleted: projects are found anew and analysed."""
        paths = list(paths)
        if any(path.name == CONFIG_NAME for path in paths):
            for document in self.documents:
                self._assign(document)
        for project in list(self._projects.values()):
            if any(project.may_read(path) for path in paths):
                project.touch()

    def _assign(self, document: Document) -> None:
        """Gives a document to the project that it lies in; a file in none is a project of its own."""
        config = find_config(document.path) if document.path is not None else None
        key: Path | str = config if config is not None else document.uri
        before = self._project_of.get(document.uri)
        project = self._projects.get(key)
        if project is None:
            project = Project(
                config, self.worker, self._task, self._publish, self._analysis_failed, self._show_progress
            )
            self._projects[key] = project
        if before is project:
            return
        self._project_of[document.uri] = project
        project.members.add(document.uri)
        project.touch()
        if before is not None:
            before.members.discard(document.uri)
            before.answers.pop(document.uri, None)
            self._drop_if_empty(before)

    def _drop_if_empty(self, project: Project) -> None:
        if project.members:
            return
        project.close()
        self._projects = {key: one for key, one in self._projects.items() if one is not project}
        self._publish_others(project, {})
        self._others.pop(project, None)

    def _touch_readers(self, document: Document) -> None:
        """Analyses every project that may read a document: its own, and those whose folder it is in."""
        own = self._project_of.get(document.uri)
        for project in list(self._projects.values()):
            if project is own or (document.path is not None and project.may_read(document.path)):
                project.touch()

    def _task(self, project: Project) -> Task:
        members = frozenset(project.members)
        return Task(project.revision, tuple(self.documents), members, self.client, self.preferences)

    def _show_progress(self, project: Project) -> Progress:
        """A progress bar for the first reading of a project; later ones are not waited for."""
        is_first = project.analysed == 0 and project.config is not None
        bar = self._editor if self.client.shows_progress and is_first else None
        self._progress = {key: one for key, one in self._progress.items() if not one.ended}
        progress = Progress(f"memlint-{len(self._progress)}-{id(project)}", bar)
        self._progress[progress.token] = progress
        return progress

    def _rest_later(self, uri: str) -> None:
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        loop = asyncio.get_running_loop()
        self._rests[uri] = loop.call_later(REST_SECONDS, self._rest, uri)

    def _rest(self, uri: str) -> None:
        """Nobody types in a document any more: what was held back is said now."""
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        self.documents.rest(uri)
        project = self._project_of.get(uri)
        answer = project.answers.get(uri) if project is not None else None
        if project is not None and answer is not None:
            self._publish_document(project, uri, answer)

    def _analysis_failed(self, error: Exception) -> None:
        self._editor.failed("the analysis; the findings before it stay", error)

    def _publish(self, project: Project, analysis: Analysis, before: Mapping[str, FileAnswer]) -> None:
        self._publish_others(project, analysis.others)
        for uri, answer in analysis.files.items():
            self._publish_document(project, uri, answer)
        if _hints_moved(before, analysis.files):
            if self.client.refreshes_hints:
                self._editor.refresh_hints()
            if self.client.refreshes_lenses:
                self._editor.refresh_lenses()

    def _publish_document(self, project: Project, uri: str, answer: FileAnswer) -> None:
        """Publishes an answer unless the document has changed since: then a newer one is on its way."""
        document = self.documents.get(uri)
        if document is None or document.stamp != answer.stamp or self._project_of.get(uri) is not project:
            return
        shown = [one for one in answer.diagnostics if not held_back(one, document.edited_line)]
        self.reports.say(uri, document.version, (*self._of_configuration(document.path), *shown))

    def _of_configuration(self, path: Path | None) -> Iterator[types.Diagnostic]:
        """What projects have to say about a file of their configuration."""
        if path is not None:
            for found in self._others.values():
                yield from found.get(path, ())

    def _publish_others(self, project: Project, found: Others) -> None:
        """Publishes what is wrong with files of the configuration, open or not, and clears what is mended."""
        before = self._others.get(project, {})
        self._others[project] = found
        for path in {*before, *found}:
            document = self.documents.at(path)
            own = self._project_of.get(document.uri) if document is not None else None
            answer = own.answers.get(document.uri) if own is not None and document is not None else None
            if document is None:
                self.reports.say(uri_of(path), None, tuple(self._of_configuration(path)))
            elif own is not None and answer is not None:
                self._publish_document(own, document.uri, answer)
            else:
                self.reports.say(document.uri, document.version, tuple(self._of_configuration(path)))


def _hints_moved(before: Mapping[str, FileAnswer], now: Mapping[str, FileAnswer]) -> bool:
    """Whether hints changed in a document that did not: an editor asks again only where someone types."""
    return any(
        uri in before and before[uri].stamp == answer.stamp and before[uri].hints != answer.hints
        for uri, answer in now.items()
    )

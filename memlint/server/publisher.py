"""What is published of each analysis: never of a text that has changed since, and nothing twice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from lsprotocol import types

from memlint.server.analysis import FileAnswer
from memlint.server.diagnostics import held_back
from memlint.server.documents import Documents
from memlint.server.places import uri_of
from memlint.server.project import Project
from memlint.server.reports import Reports

Others = Mapping[Path, tuple[types.Diagnostic, ...]]


class Publisher:
    """Puts together what projects say of each file: a file of the configuration may be another project's
    document. `project_of` is the project that speaks about an open document."""

    def __init__(
        self, documents: Documents, reports: Reports, project_of: Callable[[str], Project | None]
    ) -> None:
        self._documents = documents
        self._reports = reports
        self._project_of = project_of
        self._others: dict[Project, Others] = {}

    def document(self, project: Project, uri: str, answer: FileAnswer) -> None:
        """Publishes an answer unless the document has changed since: then a newer one is on its way."""
        document = self._documents.get(uri)
        if document is None or document.stamp != answer.stamp or self._project_of(uri) is not project:
            return
        shown = [one for one in answer.diagnostics if not held_back(one, document.edited_line)]
        self._reports.say(uri, document.version, (*self._of_configuration(document.path), *shown))

    def others(self, project: Project, found: Others) -> None:
        """Publishes what is wrong with files of the configuration, open or not, and clears what is mended."""
        before = self._others.get(project, {})
        self._others[project] = found
        for path in {*before, *found}:
            document = self._documents.at(path)
            own = self._project_of(document.uri) if document is not None else None
            answer = own.answers.get(document.uri) if own is not None and document is not None else None
            if document is None:
                self._reports.say(uri_of(path), None, tuple(self._of_configuration(path)))
            elif own is not None and answer is not None:
                self.document(own, document.uri, answer)
            else:
                self._reports.say(document.uri, document.version, tuple(self._of_configuration(path)))

    def drop(self, project: Project) -> None:
        """Takes back what a project has said about files that are not open."""
        self.others(project, {})
        del self._others[project]

    def _of_configuration(self, path: Path | None) -> Iterator[types.Diagnostic]:
        """What projects have to say about a file of their configuration."""
        if path is not None:
            for found in self._others.values():
                yield from found.get(path, ())

"""A project in the event loop: which documents it speaks about, when it is analysed, what came of it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from memlint.server.analysis import Analysis, FileAnswer, Task
from memlint.server.bench import Bench
from memlint.server.places import path_of
from memlint.server.progress import Progress, Stopped
from memlint.server.worker import Worker

QUIET_SECONDS = 0.08
"""How long nothing must change before an analysis starts: less than what people notice (0.1 s)."""

LONGEST_SECONDS = 0.6
"""And the longest that steady typing can put one off."""


@dataclass(slots=True, eq=False)
class Project:
    """One project, or one file alone. `revision` rises with every change of anything it depends on.

    `task` makes the task of a revision, `on_analysis` takes what came of it and the answers before it,
    `on_failure` an exception; `progress` shows how far the first analysis is.
    Only one analysis runs at a time; changes while it runs lead to one more.
    """

    config: Path | None
    worker: Worker
    task: Callable[[Project], Task]
    on_analysis: Callable[[Project, Analysis, Mapping[str, FileAnswer]], None]
    on_failure: Callable[[Exception], None]
    progress: Callable[[Project], Progress]
    members: set[str] = field(default_factory=set)
    answers: dict[str, FileAnswer] = field(default_factory=dict)
    revision: int = 0
    analysed: int = 0
    bench: Bench = field(init=False)
    _timer: asyncio.TimerHandle | None = None
    _since: float | None = None
    _running: asyncio.Future[Analysis] | None = None
    _waiting: list[asyncio.Future[None]] = field(default_factory=list)
    _closed: bool = False

    def __post_init__(self) -> None:
        self.bench = Bench(self.config)

    def touch(self) -> None:
        """Something changed: an analysis is due once it stays as it is for a moment."""
        self.revision += 1
        loop = asyncio.get_running_loop()
        if self._since is None:
            self._since = loop.time()
        if self._timer is not None:
            self._timer.cancel()
        due = min(loop.time() + QUIET_SECONDS, self._since + LONGEST_SECONDS)
        self._timer = loop.call_at(due, self._start)

    async def settled(self) -> None:
        """Returns once there is an analysis of what is the newest revision now, whatever came of it.

        Not of what is changed meanwhile: who types on and on would keep everybody waiting.
        """
        wanted = self.revision
        while self.analysed < wanted and not self._closed:
            waiting: asyncio.Future[None] = asyncio.get_running_loop().create_future()
            self._waiting.append(waiting)
            try:
                await waiting
            finally:
                if waiting in self._waiting:
                    self._waiting.remove(waiting)

    def may_read(self, path: Path) -> bool:
        """Whether a change of a file may change an answer: it lies in the project's folder, or is one of
        the files outside it that the last answers were made from."""
        if self.config is None:
            return any(path_of(uri) == path for uri in self.members)
        if path.is_relative_to(self.config.parent):
            return True
        judgement = next((one.judgement for one in self.answers.values() if one.judgement is not None), None)
        return judgement is not None and (
            path.as_posix() in judgement.sources or str(path) in judgement.device.files
        )

    def close(self) -> None:
        """Nobody asks any more: no further analysis begins, and nobody is kept waiting."""
        self._closed = True
        if self._timer is not None:
            self._timer.cancel()
        if self._running is not None:
            self._running.cancel()
        self._wake()

    def _start(self) -> None:
        self._timer = None
        if self._running is not None or self._closed:
            return  # The end of the running one looks whether there is more to do.
        self._since = None
        task = self.task(self)
        bench, progress = self.bench, self.progress(self)
        self._running = self.worker.submit(lambda: bench.analyse(task, progress.notice))
        self._running.add_done_callback(lambda done: self._finished(task, progress, done))

    def _finished(self, task: Task, progress: Progress, done: asyncio.Future[Analysis]) -> None:
        self._running = None
        progress.end()
        if self._closed or done.cancelled():
            return
        self.analysed = task.revision
        error = done.exception()
        if isinstance(error, Stopped):
            pass  # The user did not want to wait; the next change goes on where this ended.
        elif isinstance(error, Exception):
            self.on_failure(error)
        else:
            analysis, before = done.result(), self.answers
            known = {**before, **analysis.files}
            self.answers = {uri: answer for uri, answer in known.items() if uri in self.members}
            self.on_analysis(self, analysis, before)
        self._wake()
        if self.analysed < self.revision and self._timer is None:
            self._start()

    def _wake(self) -> None:
        waiting, self._waiting = self._waiting, []
        for one in waiting:
            if not one.done():
                one.set_result(None)

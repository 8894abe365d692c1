"""The one object both fronts ask: a project's files in, memories and findings out."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from memlint.design.black_boxes import BlackBox
from memlint.design.design import Design, DesignOptions, Elaboration
from memlint.design.intents import ConfiguredIntent
from memlint.device.facts import Device
from memlint.engine.configured import unknown_clock_nets, unmatched_intents
from memlint.engine.facts_of import FactStore
from memlint.engine.files import VERILOG, VHDL, FileSet, Texts, file_set
from memlint.engine.judgement import Judgement
from memlint.engine.judging import Judging
from memlint.engine.libraries import library_of_files
from memlint.engine.outside import Outside
from memlint.engine.settings import IntentEntry, ProjectError, Settings, UnknownTopError
from memlint.engine.trees import Disk, Tree
from memlint.reading.facts.items import FileFacts, Problem
from memlint.reading.intent.comments import Piece
from memlint.text.source import SourceText


class Engine:
    """A project and what is known of it. Files of `overlay` are taken from there, all others from `tree`,
    which is the disk unless another is given; `extra` ones belong to it beside those its settings name."""

    def __init__(
        self,
        settings: Settings,
        overlay: Mapping[str, str] | None = None,
        files: Iterable[str] = (),
        device: Device | None = None,
        tree: Tree | None = None,
    ) -> None:
        self.settings = settings
        self.texts = Texts(tree or Disk(Path(settings.root)), dict(overlay or {}))
        self.extra = tuple(files)
        self._facts = FactStore(self.texts)
        self._device = device
        self._last: tuple[object, Judgement] | None = None
        self._elaborated: tuple[Design, tuple[FileFacts, ...]] | None = None
        self._files: tuple[object, FileSet] | None = None
        self._elaboration: Elaboration | None = None
        self._judging: Judging | None = None
        self._outside: Outside | None = None
        self._configured: tuple[SourceText, list[ConfiguredIntent], list[Problem]] | None = None

    @property
    def device(self) -> Device:
        """The project's device; raises ProfileError when its profile cannot be used."""
        if self._device is None:
            from memlint.device.profile import load_profile

            self._device = load_profile(self.settings.device, self.settings.root, self.texts.tree.load)
            if self.settings.target_mhz is not None:
                self._device = replace(self._device, target_mhz=self.settings.target_mhz)
        return self._device

    def set_text(self, file: str, text: str | None) -> None:
        """Take a file's text from the editor, or (None) from the disk again."""
        if text is None:
            self.texts.overlay.pop(file, None)
        else:
            self.texts.overlay[file] = text

    def keep_files(self) -> None:
        """From now on the files of the tree are taken to be as they are now, until `look_again`: for who is
        told of every change. An edit then costs no look at any other file."""
        self.texts.keep()
        self._files = None

    def look_again(self) -> None:
        """Files of the tree were written, created or deleted."""
        self.texts.look_again()

    @property
    def on_file(self) -> Callable[[int, int], None]:
        """Called before each file is looked at, with its number from 1 and how many there are; what it
        raises ends the judging. What was read until then is not read again."""
        return self._facts.on_file

    @on_file.setter
    def on_file(self, call: Callable[[int, int], None]) -> None:
        self._facts.on_file = call

    @property
    def elaborated(self) -> tuple[Design, tuple[FileFacts, ...]]:
        """The design that the last judgement is about, and the facts it was made from."""
        if self._elaborated is None:
            self.judge()
        assert self._elaborated is not None
        return self._elaborated

    def files(self) -> FileSet:
        """The project's sources in compilation order."""
        if not self.texts.kept:
            return file_set(self.settings, self.texts, self.extra)
        # Unsaved texts of files that are no sources: a file list may be among them.
        others = {
            file: text for file, text in self.texts.overlay.items() if not file.endswith((*VERILOG, *VHDL))
        }
        key = self.texts.state, tuple(self.texts.overlay), others if self.settings.file_lists else None
        if self._files is None or self._files[0] != key:
            self._files = key, file_set(self.settings, self.texts, self.extra)
        return self._files[1]

    def facts(self) -> list[FileFacts]:
        """What each file says, in compilation order."""
        return self._facts.read(self.files())[0]

    def judge(self) -> Judgement:
        """Findings and memories of the project as it is now. The same facts give the same object again."""
        files = self.files()
        facts, sources = self._facts.read(files)
        if self._last is not None and self._last[0] == tuple(map(id, facts)):
            return self._last[1]
        judgement, design = self._judge(facts, sources, files.problems)
        self._last = (tuple(map(id, facts)), judgement)
        self._elaborated = (design, tuple(facts))
        return judgement

    def _judge(
        self, facts: list[FileFacts], sources: dict[str, SourceText], problems: tuple[Problem, ...]
    ) -> tuple[Judgement, Design]:
        intents, intent_problems = self._configured_intents(sources)
        elaboration = self._elaboration_with(
            intents, library_of_files((file.file for file in facts), self.settings)
        )
        try:
            design = elaboration.update(facts)
        except BaseException:
            # It may have stopped half-way.
            self._elaboration = None
            raise
        self._check_tops(design, facts)
        every = [
            *problems,
            *self.texts.problems(),
            *design.limits,
            *intent_problems,
            *(one for file in facts for one in file.problems),
        ]
        if intents:
            every += unmatched_intents(intents, design, facts, sources[self.settings.file])
        every += self._unknown_names(design, facts, sources)
        if design.unknown_same:
            every += unknown_clock_nets(design, facts, self._config_text(sources))
        if self._judging is None:
            self._judging = Judging(self.device, self.settings)
            self._outside = Outside(Judging(self.device, self.settings))
        judgement = self._judging.judge(design, every, sources)
        not_found = {name for file in facts for name, found in file.includes if found is None}
        judgement = replace(judgement, missing_includes=tuple(sorted(not_found)))
        if self.settings.top and self._outside is not None:
            judgement = self._outside.add(judgement, design, facts, elaboration)
        return judgement, design

    def _elaboration_with(self, intents: list[ConfiguredIntent], libraries: dict[str, str]) -> Elaboration:
        known = self._elaboration
        if (
            known is not None
            and known.options.libraries == libraries
            and list(map(id, known.options.intents)) == list(map(id, intents))
        ):
            return known
        options = DesignOptions(
            self.settings.top,
            self.settings.parameters,
            self.settings.assume,
            self.settings.same_clocks,
            self.settings.attributes,
            intents,
            libraries=libraries,
            black_boxes=_black_boxes(self.settings),
        )
        self._elaboration = Elaboration(options)
        return self._elaboration

    def _check_tops(self, design: Design, facts: list[FileFacts]) -> None:
        if not design.unknown_tops:
            return
        from difflib import get_close_matches

        names = [unit.name for file in facts for unit in file.units]
        wanted = design.unknown_tops[0]
        near = get_close_matches(wanted, names, 3)
        from memlint.engine.config import place_of

        place = "--top"
        if self.settings.file and not self.settings.top_given:
            place = place_of(self.settings, "top", load=self.texts.tree.load)
            # Who asks the engine itself may have set it, where memlint.toml has no such line.
            place = place if place[-1:].isdigit() else "--top"
        known = f"The nearest units are {', '.join(near)}." if near else "No unit has a name like it."
        raise UnknownTopError(
            f"{place}: the top `{wanted}` is in none of the {len(facts)} files read. {known}"
        )

    def _unknown_names(
        self, design: Design, facts: list[FileFacts], sources: dict[str, SourceText]
    ) -> Iterator[Problem]:
        """What memlint.toml says of parameters that nothing has; of a file that is no project's, nothing."""
        settings = self.settings
        if not settings.file or not (settings.sources or settings.file_lists):
            return
        if settings.parameters or settings.assume:
            from memlint.engine.configured_names import unknown_parameters, unmatched_assumptions

            source = self._config_text(sources)
            yield from unknown_parameters(settings, design, facts, source)
            yield from unmatched_assumptions(settings, facts, source)

    def _config_text(self, sources: dict[str, SourceText]) -> SourceText:
        """memlint.toml, which then is among the sources that findings point into."""
        source = self.texts.get(self.settings.file) or SourceText(self.settings.file, "")
        sources[source.file] = source
        return source

    def _configured_intents(
        self, sources: dict[str, SourceText]
    ) -> tuple[list[ConfiguredIntent], list[Problem]]:
        found: list[ConfiguredIntent] = []
        problems: list[Problem] = []
        if not self.settings.intents:
            return found, problems
        source = self._config_text(sources)
        if self._configured is not None and self._configured[0].text == source.text:
            return self._configured[1:]
        from memlint.reading.intent.reader import read_intents

        for entry in self.settings.intents:
            piece = _piece(entry, source)
            intents, wrong = read_intents([piece], source)
            problems.extend(wrong)
            found.extend(ConfiguredIntent(entry.memory, intent) for intent in intents)
        self._configured = source, found, problems
        return found, problems


def _black_boxes(settings: Settings) -> tuple[BlackBox, ...]:
    return tuple(
        BlackBox(one.unit, one.depth, one.width, one.ports, one.clocks, one.tier)
        for one in settings.black_boxes
    )


def _piece(entry: IntentEntry, source: SourceText) -> Piece:
    """Where an `[[intent]]`'s text stands in memlint.toml; at its line's start if it is not found there."""
    line = min(entry.line, len(source.line_starts))
    start = source.line_starts[line - 1] if source.text else 0
    at = source.text.find(entry.intent, start)
    at = start if at < 0 else at
    return Piece(at, entry.intent, (at, at + len(entry.intent)))


def open_project(
    paths: Iterable[str] = (),
    overlay: Mapping[str, str] | None = None,
    config: str | None = None,
    overrides: Mapping[str, object] | None = None,
    disk: Callable[[Path], Tree] = Disk,
) -> Engine:
    """The engine for the project that the first path lies in, or the working folder.

    Without memlint.toml the paths themselves are the project. `overrides` replace settings by name, `disk`
    gives the files of a folder.
    Raises ProjectError (a path that does not exist, a bad configuration) or ProfileError.
    """
    from memlint.engine.config import find_config, load_settings
    from memlint.engine.files import VERILOG, VHDL, relative, sources_below

    given = [Path(path) for path in paths]
    # Names as they are seen from the working folder.
    here = disk(Path())
    for path in given:
        if not (here.is_file(path) or here.is_folder(path)):
            raise ProjectError(f"{path}: no such file or folder. Check the spelling and the working folder.")
    start = given[0] if given else Path.cwd()
    found = Path(config) if config is not None else find_config(start, here.is_file)
    settings = load_settings(found, start, here.load)
    if overrides:
        settings = replace(settings, **overrides)  # type: ignore[arg-type]
    root = Path(settings.root)
    extra: list[str] = []
    for path in given:
        if here.is_folder(path):
            below = sources_below(disk(root), os.path.abspath(path))
            if not below and found is None:
                raise ProjectError(
                    f"{path}: no HDL sources here ({', '.join((*VERILOG, *VHDL))}). Name another folder, "
                    "or write a memlint.toml that says where they are."
                )
            if found is None or not _below(path, root):
                extra.extend(below)
        elif path.suffix in (*VERILOG, *VHDL):
            try:
                here.load(path)
            except OSError as error:
                raise ProjectError(f"{path}: {error.strerror}. Make the file readable.") from None
            extra.append(relative(path, root))
        elif path.suffix != ".toml":
            raise ProjectError(f"{path}: not a {', '.join((*VERILOG, *VHDL))} file.")
    return Engine(settings, overlay, extra, tree=disk(root))


def _below(path: Path, root: Path) -> bool:
    try:
        path.resolve().relative_to(root.resolve())
    except ValueError:
        return False
    return True


def check_text(text: str, file: str = "sample.sv", device: str = "sorter-m") -> Judgement:
    """Judge one text as a project of its own: for documentation examples and tests."""
    settings = Settings(root="/nonexistent", device=device, sources=(file,))
    return Engine(settings, {file: text}).judge()

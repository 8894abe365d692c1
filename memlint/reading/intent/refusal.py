"""How the intent reader turns something down: a message, a place, and what to do."""

from __future__ import annotations


class Refusal(ValueError):
    """A clause that cannot be read.

    `start` and `end` are offsets into the text that was parsed; `help` are concrete alternatives.
    `repair` is the one word that may have been meant there, empty where there is none or several.
    As a ValueError it carries all of it in one sentence, for the command line.
    """

    def __init__(
        self, message: str, start: int, end: int, help: tuple[str, ...] = (), repair: str = ""
    ) -> None:
        super().__init__("; ".join((message, *help)))
        self.message = message
        self.start = start
        self.end = end
        self.help = help
        self.repair = repair

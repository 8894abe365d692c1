"""`completionItem/resolve`: what a word of the intent language means."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.intent_words import CLAUSES, ON, rule_summary, tier_facts
from memlint.server.server import Server

METHOD = types.COMPLETION_ITEM_RESOLVE


def handle(server: Server, params: types.CompletionItem) -> Awaitable[types.CompletionItem]:
    """The item with its explanation, if there is one."""
    return _explained(server, params)


async def _explained(server: Server, params: types.CompletionItem) -> types.CompletionItem:
    data = params.data if isinstance(params.data, dict) else {}
    match data.get("about"):
        case ["clause", "on"]:
            lines = [ON.says]
        case ["clause", str(head)] if head in CLAUSES:
            lines = [CLAUSES[head].says]
        case ["rule", str(name)]:
            lines = [said] if (said := rule_summary(name)) else []
        case ["tier", str(name)]:
            lines = await _tier(server, data.get("uri"), name)
        case _:
            lines = []
    if lines:
        params.documentation = _markup(lines, server.session.client.markdown_completion)
    return params


async def _tier(server: Server, uri: object, name: str) -> list[str]:
    project = server.session.project_of(uri) if isinstance(uri, str) else None
    if project is not None:
        await project.settled()
    answer = project.answers.get(uri) if project is not None and isinstance(uri, str) else None
    device = answer.judgement.device if answer is not None and answer.judgement is not None else None
    tier = device.tier(name) if device is not None else None
    return tier_facts(tier, device) if tier is not None and device is not None else []


def _markup(lines: list[str], markdown: bool) -> types.MarkupContent:
    if not markdown:
        return types.MarkupContent(types.MarkupKind.PlainText, "\n".join(lines).replace("`", ""))
    text = lines[0] if len(lines) == 1 else "\n".join(f"- {line}" for line in lines)
    return types.MarkupContent(types.MarkupKind.Markdown, text)

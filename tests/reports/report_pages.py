"""What the tests of the page share: pages written by the command line, and what is embedded in them."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from memlint.cli.main import main

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"

HOSTILE = r"""module \top</script><img/src=x/onerror=alert(1)> (
    input logic clk, we, input logic [9:0] a, b, input logic [7:0] d, output logic [7:0] q, r, s, t
);
//@mem in block; why "</script><script>alert('x')</script> & `code` __RLO__ reversed"
logic [7:0] \</script><script>alert(1)</script> [0:1023];
//@mem in bulk
logic [7:0] \a"b'c&d<i>`x` [0:1023];
logic [7:0] \__RTL__ [0:1023];
logic [7:0] \x__RLO__evil [0:1023];
always_ff @(posedge clk) begin
    if (we) begin
        \</script><script>alert(1)</script> [a] <= d;
        \a"b'c&d<i>`x` [a] <= d;
        \__RTL__ [a] <= d;
        \x__RLO__evil [a] <= d;
    end
    q <= \</script><script>alert(1)</script> [b];
    r <= \a"b'c&d<i>`x` [b];
    s <= \__RTL__ [b];
    t <= \x__RLO__evil [b];
end
\gone<b> u_gone (.clk(clk));
endmodule
""".replace("__RTL__", "\u05e9\u05dc\u05d5\u05dd").replace("__RLO__", "\u202e")
"""Names that would end a script, open a tag, close an attribute or turn a line around."""


def page_of(file: Path, *arguments: str) -> str:
    """The page that `memlint report` writes for these arguments."""
    assert main(["report", *arguments, "--output", str(file)]) == 0
    return file.read_text("utf-8")


def embedded(page: str) -> dict[str, Any]:
    """The data in a page."""
    found = re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    data: dict[str, Any] = json.loads(found[1])
    return data


def listed(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[dict[str, Any]]:
    """What `memlint list --format json` says."""
    capsys.readouterr()
    assert main(["list", "--format", "json", *arguments]) == 0
    memories: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["memories"]
    return memories


def plain(page: str) -> str:
    """The text of a page's static part, tags taken out."""
    from html import unescape

    body = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.DOTALL)
    body = re.sub(r"<(?:wbr|/?bdi|/?code|/?b|/?mark|/?span)\b[^>]*>", "", body)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", body)).split())


def thousand() -> str:
    """Forty kinds of memory in twenty-five lanes: a thousand memories."""
    shapes = [(64 << at % 9, 6 + at % 7 * 10) for at in range(40)]
    stores = [
        f"""module grain_store_{at} (input logic clk, we, input logic [15:0] a, b, input logic [71:0] d);
logic [{width - 1}:0] words_{at} [0:{depth - 1}];
logic [{width - 1}:0] q;
always_ff @(posedge clk) begin
    if (we) words_{at}[a] <= d[{width - 1}:0];
    q <= words_{at}[b];
end
endmodule
"""
        for at, (depth, width) in enumerate(shapes)
    ]
    ports = "input logic clk, we, input logic [15:0] a, b, input logic [71:0] d"
    inside = "\n".join(f"grain_store_{at} u_store_{at} (.*);" for at in range(40))
    lanes = "\n".join(f"lane u_lane_{at} (.*);" for at in range(25))
    lane = f"module lane ({ports});\n{inside}\nendmodule\n"
    return f"{''.join(stores)}{lane}module tray ({ports});\n{lanes}\nendmodule\n"

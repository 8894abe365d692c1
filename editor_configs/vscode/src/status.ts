// The item in the status bar: the device of the active file, or that there is no server.
import { Disposable, StatusBarAlignment, StatusBarItem, window } from "vscode";
import { Server, hdlDocument } from "./server";
import { CONFIGURATION, Judged, Taken } from "./server_commands";

const QUIET_MS = 300;

export class Status implements Disposable {
  private readonly item: StatusBarItem = window.createStatusBarItem("memlint", StatusBarAlignment.Right, 100);
  private timer: NodeJS.Timeout | undefined;
  private turn = 0;

  constructor(private readonly server: Server) {
    this.item.name = "memlint";
    server.onChange(() => this.refresh());
  }

  /** Asks again, once for many calls in a row. */
  refresh(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.update(), QUIET_MS);
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.item.dispose();
  }

  private async update(): Promise<void> {
    const turn = ++this.turn;
    const document = hdlDocument();
    if (!document) {
      this.item.hide();
      return;
    }
    const judged = await this.server.ask<Judged>(CONFIGURATION, document.uri).catch(() => undefined);
    if (turn !== this.turn) {
      return; // A newer question is under way.
    }
    if (this.server.running) {
      this.item.text = `$(circuit-board) ${judged?.device ?? "no device"}${judged ? fullest(judged) : ""}`;
      this.item.tooltip = judged?.message ?? "memlint";
      this.item.command = "memlint.showConfiguration";
    } else {
      this.item.text = "$(error) memlint";
      this.item.tooltip = "The memlint server is not running. Start it.";
      this.item.command = "memlint.restartServer";
    }
    this.item.show();
  }
}

/** ` · bulk 75 %`: the tier of which the design takes most. */
function fullest({ fill }: Judged): string {
  const share = (one: Taken): number => (one.of > 0 ? one.blocks / one.of : 0);
  const [first] = [...fill].sort((one, other) => share(other) - share(one));
  return first ? ` · ${first.tier} ${Math.round(100 * share(first))} %` : "";
}

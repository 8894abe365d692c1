// The item in the status bar: the device of the active file, or that there is no server.
import { Disposable, StatusBarAlignment, StatusBarItem, window } from "vscode";
import { Server, hdlDocument } from "./server";
import { CONFIGURATION, Judged } from "./server_commands";

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
      this.item.text = `$(circuit-board) ${judged?.device ?? "no device"}`;
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

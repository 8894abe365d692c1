// What VS Code runs: one server for the window, three commands, an item in the status bar.
import { commands, ExtensionContext, window, workspace } from "vscode";
import { showConfiguration } from "./configuration";
import { openOverview } from "./overview";
import { Server } from "./server";
import { Status } from "./status";

let server: Server | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const current = new Server();
  const status = new Status(current);
  server = current;
  context.subscriptions.push(
    status,
    commands.registerCommand("memlint.restartServer", () => current.restart()),
    commands.registerCommand("memlint.showConfiguration", () => showConfiguration(current)),
    commands.registerCommand("memlint.openOverview", (uri?: unknown) =>
      openOverview(current, typeof uri === "string" ? uri : undefined),
    ),
    window.onDidChangeActiveTextEditor(() => status.refresh()),
    workspace.onDidChangeTextDocument(() => status.refresh()),
    workspace.onDidSaveTextDocument(() => status.refresh()),
    workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration("memlint.server")) {
        void current.restart();
      }
    }),
  );
  await current.start();
}

export async function deactivate(): Promise<void> {
  await server?.stop();
}

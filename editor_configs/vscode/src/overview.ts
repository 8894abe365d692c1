// The overview page of the active file's project, beside the editor.
import { Uri, ViewColumn, WebviewPanel, window, workspace } from "vscode";
import { NOTHING_OPEN, Server, hdlDocument, reason } from "./server";
import { OVERVIEW, Page } from "./server_commands";

/** The editor keeps the focus, and the status bar its device. */
const BESIDE = { viewColumn: ViewColumn.Beside, preserveFocus: true };

let panel: WebviewPanel | undefined;

/** `of` is a file of the project; without it, the active one is meant. */
export async function openOverview(server: Server, of?: string): Promise<void> {
  const uri = of === undefined ? hdlDocument()?.uri : Uri.parse(of);
  if (!uri) {
    void window.showInformationMessage(NOTHING_OPEN);
    return;
  }
  try {
    const page = await server.ask<Page>(OVERVIEW, uri);
    const html = await workspace.fs.readFile(Uri.parse(page.uri));
    show(new TextDecoder().decode(html));
  } catch (error) {
    void window.showErrorMessage(`memlint: ${reason(error)}`);
  }
}

function show(html: string): void {
  if (!panel) {
    // The page states its own policy: it loads nothing, and runs no script but its own.
    panel = window.createWebviewPanel("memlint.overview", "memlint overview", BESIDE, {
      enableScripts: true,
      enableFindWidget: true,
      retainContextWhenHidden: true,
      localResourceRoots: [],
    });
    panel.onDidDispose(() => (panel = undefined));
  }
  panel.webview.html = html;
  panel.reveal(undefined, true);
}

// Which configuration, device and top the active file is judged by.
import { Uri, window } from "vscode";
import { NOTHING_OPEN, Server, hdlDocument, reason } from "./server";
import { CONFIGURATION, Judged } from "./server_commands";

const OPEN = "Open It";

export async function showConfiguration(server: Server): Promise<void> {
  const document = hdlDocument();
  if (!document) {
    void window.showInformationMessage(NOTHING_OPEN);
    return;
  }
  try {
    const judged = await server.ask<Judged>(CONFIGURATION, document.uri);
    const choice = await window.showInformationMessage(judged.message, ...(judged.configuration ? [OPEN] : []));
    if (choice && judged.configuration) {
      await window.showTextDocument(Uri.file(judged.configuration));
    }
  } catch (error) {
    void window.showErrorMessage(`memlint: ${reason(error)}`);
  }
}

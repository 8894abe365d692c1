// The server's process, and what it is asked beside the protocol's own requests.
import { commands, TextDocument, Uri, window, workspace } from "vscode";
import {
  LanguageClient,
  LanguageClientOptions,
  ServerOptions,
  State,
  TransportKind,
} from "vscode-languageclient/node";
import { OVERVIEW } from "./server_commands";

const LANGUAGES = ["verilog", "systemverilog", "vhdl"];
const SETTING = "memlint.server.command";

export const NOTHING_OPEN = "memlint: open a Verilog, SystemVerilog or VHDL file first.";

/** The file in the active editor, if it is one that the server reads. */
export function hdlDocument(): TextDocument | undefined {
  const document = window.activeTextEditor?.document;
  return document && LANGUAGES.includes(document.languageId) ? document : undefined;
}

export function reason(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

export class Server {
  private client: LanguageClient | undefined;
  private listener: () => void = () => undefined;

  /** Calls something whenever the server starts or ends. */
  onChange(listener: () => void): void {
    this.listener = listener;
  }

  get running(): boolean {
    return this.client?.state === State.Running;
  }

  async start(): Promise<void> {
    const [command, ...args] = workspace.getConfiguration().get<string[]>(SETTING, []);
    if (!command) {
      void complain(`The setting ${SETTING} names no program.`);
      return;
    }
    const folder = workspace.workspaceFolders?.[0]?.uri;
    const run: ServerOptions = {
      command,
      args,
      transport: TransportKind.stdio,
      options: folder?.scheme === "file" ? { cwd: folder.fsPath } : {},
    };
    const client = new LanguageClient("memlint", "memlint", run, OPTIONS);
    this.client = client;
    client.onDidChangeState(() => this.listener());
    try {
      await client.start();
    } catch (error) {
      void complain(`The memlint server did not start: ${command}: ${reason(error)}.`);
    }
  }

  async stop(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    if (client?.state === State.Running) {
      await client.stop();
    }
  }

  async restart(): Promise<void> {
    await this.stop();
    await this.start();
  }

  /** The answer of a command of the server about a file. Rejects with what to tell where it has none. */
  async ask<Answer>(command: string, uri: Uri): Promise<Answer> {
    const client = this.client;
    if (client?.state !== State.Running) {
      throw new Error("the server is not running");
    }
    const known = client.initializeResult?.capabilities.executeCommandProvider?.commands ?? [];
    if (!known.includes(command)) {
      throw new Error("this server is too old for that");
    }
    const argument = client.code2ProtocolConverter.asUri(uri);
    return client.sendRequest<Answer>("workspace/executeCommand", { command, arguments: [argument] });
  }
}

const OPTIONS: LanguageClientOptions = {
  documentSelector: LANGUAGES.map((language) => ({ language })),
  middleware: {
    // Of a lens: the page belongs beside the text, as it does for our own command.
    executeCommand: (command, args, next) =>
      command === OVERVIEW ? commands.executeCommand("memlint.openOverview", ...args) : next(command, args),
    window: {
      // The overview page: it is shown in a panel here, not in a browser as well.
      showDocument: async (params, token, next) => (params.external ? { success: true } : next(params, token)),
    },
  },
};

async function complain(message: string): Promise<void> {
  const open = "Open the Setting";
  if (await window.showErrorMessage(`${message} Install memlint, or say where it is.`, open)) {
    await commands.executeCommand("workbench.action.openSettings", SETTING);
  }
}

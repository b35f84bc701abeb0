// Starts the compiler's language server for descriptions of tower clocks. Colours and snippets need nothing of this.
"use strict";

const os = require("node:os");
const vscode = require("vscode");
const { LanguageClient, TransportKind } = require("vscode-languageclient/node");
const { findCommand } = require("./command.js");

let client;
let starting = Promise.resolve();

function settings() {
  return vscode.workspace.getConfiguration("countwheel");
}

/** The opened folder, where its files are on a disk. */
function openedFolder() {
  return vscode.workspace.workspaceFolders?.find((folder) => folder.uri.scheme === "file")?.uri.fsPath;
}

async function tellMissing(command) {
  const choose = "Choose where it is";
  const answer = await vscode.window.showInformationMessage(
    `The command ${command} was not found, so nothing is checked while you write. Colours and snippets work without it.`,
    choose,
  );
  if (answer === choose) {
    await vscode.commands.executeCommand("workbench.action.openSettings", "countwheel.command");
  }
}

async function stop() {
  const old = client;
  client = undefined;
  // A server that has already ended cannot be asked to end.
  await old?.stop().catch(() => undefined);
}

async function start() {
  await stop();
  const wanted = settings().get("command", "countwheel").trim();
  if (!wanted) return;
  const folder = openedFolder();
  const command = findCommand(wanted, { folder, home: os.homedir() });
  if (!command) {
    void tellMissing(wanted); // the message waits for its reader; nothing else waits for that
    return;
  }
  const run = {
    command,
    args: settings().get("arguments", ["language-server"]),
    transport: TransportKind.stdio,
    options: folder ? { cwd: folder } : {},
  };
  const one = new LanguageClient("countwheel", "countwheel", run, {
    documentSelector: [{ scheme: "file", language: "movement" }],
    synchronize: { fileEvents: vscode.workspace.createFileSystemWatcher("**/*.movement") },
  });
  client = one;
  try {
    await one.start();
  } catch (fault) {
    client = undefined;
    void vscode.window.showWarningMessage(
      `${command} was found but did not answer as a language server: ${fault instanceof Error ? fault.message : fault}`,
    );
  }
}

/** One after the other, so that two changes of a setting do not leave two servers. */
function restart() {
  starting = starting.then(start, start);
  return starting;
}

function activate(context) {
  context.subscriptions.push(
    vscode.commands.registerCommand("countwheel.restart", restart),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration("countwheel")) void restart();
    }),
  );
  return restart();
}

function deactivate() {
  return starting.then(stop, stop);
}

module.exports = { activate, deactivate };

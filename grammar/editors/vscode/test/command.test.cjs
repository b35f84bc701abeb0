// Where the command is looked for, and what is said where it is not there. Run by `npm test`.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const Module = require("node:module");
const os = require("node:os");
const path = require("node:path");
const test = require("node:test");
const { findCommand } = require("../src/command.js");

function folderWith(name, mode = 0o755) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "countwheel-"));
  fs.writeFileSync(path.join(folder, name), "#!/bin/sh\n", { mode });
  return folder;
}

test("a name is looked for along the path, and only there", () => {
  const folder = folderWith("countwheel");
  const env = { PATH: ["/nowhere", ".", folder].join(path.delimiter) };
  assert.equal(findCommand("countwheel", { env }), path.join(folder, "countwheel"));
  assert.equal(findCommand("countwheel", { env: { PATH: "/nowhere" } }), undefined);
  assert.equal(findCommand("", { env }), undefined);
  // A folder on the path that is not absolute would be the folder that happens to be open.
  assert.equal(findCommand("countwheel", { env: { PATH: "." }, folder }), undefined);
});

test("a file that may not be run, or a folder, is no command", () => {
  const folder = folderWith("countwheel", 0o644);
  fs.mkdirSync(path.join(folder, "other"));
  const env = { PATH: folder };
  if (process.platform !== "win32") assert.equal(findCommand("countwheel", { env }), undefined);
  assert.equal(findCommand("other", { env }), undefined);
});

test("a path is taken as it is, from the home folder, or from the opened folder", () => {
  const folder = folderWith("countwheel");
  const full = path.join(folder, "countwheel");
  assert.equal(findCommand(full, { env: {} }), full);
  assert.equal(findCommand("~/countwheel", { env: {}, home: folder }), full);
  assert.equal(findCommand("./countwheel", { env: {}, folder }), full);
  assert.equal(findCommand("./countwheel", { env: {} }), undefined);
});

test("on Windows the usual endings are tried", () => {
  const folder = folderWith("countwheel.exe");
  assert.equal(
    findCommand(path.join(folder, "countwheel"), { env: { PATHEXT: ".cmd;.exe" }, platform: "win32" }),
    path.join(folder, "countwheel.exe"),
  );
});

test("where the command is missing the extension says so, once, and does not fail", async () => {
  const said = [];
  const registered = [];
  const settings = { command: "no-such-command-here" };
  const vscode = {
    workspace: {
      getConfiguration: () => ({ get: (name, usual) => settings[name] ?? usual }),
      workspaceFolders: undefined,
      onDidChangeConfiguration: () => ({ dispose() {} }),
    },
    window: {
      showInformationMessage: async (text) => void said.push(text),
      showWarningMessage: async (text) => void said.push(text),
    },
    commands: { registerCommand: (name) => (registered.push(name), { dispose() {} }) },
  };
  // The libraries make classes of the editor's own as they load; any class does for that.
  const anything = new Proxy(vscode, {
    get: (known, name) => (name in known ? known[name] : class { static [Symbol.hasInstance]() { return false; } }),
  });
  const load = Module._load;
  Module._load = (name, ...rest) => (name === "vscode" ? anything : load(name, ...rest));
  try {
    const extension = require("../dist/extension.js");
    await extension.activate({ subscriptions: [] });
    assert.deepEqual(said, [
      "The command no-such-command-here was not found, so nothing is checked while you write. " +
        "Colours and snippets work without it.",
    ]);
    assert.deepEqual(registered, ["countwheel.restart"]);
    settings.command = ""; // switched off: nothing is said
    await extension.activate({ subscriptions: [] });
    assert.equal(said.length, 1);
    await extension.deactivate();
  } finally {
    Module._load = load;
  }
});

// Where the `countwheel` command is. Plain Node, so that it can be tried without an editor.
"use strict";

const fs = require("node:fs");
const path = require("node:path");

/** Whether a file is there and may be run. */
function runs(file, platform = process.platform) {
  try {
    if (!fs.statSync(file).isFile()) return false;
    if (platform !== "win32") fs.accessSync(file, fs.constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * The full path of a command, or undefined where there is none.
 *
 * A name without a separator is looked for along PATH; `~` is the home folder; a relative path is taken from
 * `folder` (the opened folder), and is not looked for where there is none.
 */
function findCommand(command, { env = process.env, folder, home, platform = process.platform } = {}) {
  const wanted = String(command ?? "").trim();
  if (!wanted) return undefined;
  const endings = platform === "win32" ? (env.PATHEXT || ".EXE;.CMD;.BAT").split(";") : [""];
  const ways = (file) => (path.extname(file) && platform === "win32" ? [file] : endings.map((end) => file + end));
  const first = (files) => files.flatMap(ways).find((file) => runs(file, platform));

  if (wanted.startsWith("~/") && home) return first([path.join(home, wanted.slice(2))]);
  if (path.isAbsolute(wanted)) return first([wanted]);
  if (/[\\/]/.test(wanted)) return folder ? first([path.resolve(folder, wanted)]) : undefined;
  const folders = (env.PATH || env.Path || "").split(path.delimiter).filter((one) => path.isAbsolute(one));
  return first(folders.map((one) => path.join(one, wanted)));
}

module.exports = { findCommand };

// Puts the extension and the libraries that it uses into one file, and their licences beside it.
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import esbuild from "esbuild";

rmSync("dist", { recursive: true, force: true });
mkdirSync("dist");
const built = await esbuild.build({
  entryPoints: ["src/extension.js"],
  outfile: "dist/extension.js",
  bundle: true,
  platform: "node",
  format: "cjs",
  target: "node20",
  external: ["vscode"],
  minifySyntax: true,
  minifyWhitespace: true,
  legalComments: "none", // the whole licences stand in licences.txt
  metafile: true,
});

const folders = new Set();
for (const file of Object.keys(built.metafile.inputs)) {
  const inside = file.match(/^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//);
  if (inside) folders.add(inside[1]);
}
const parts = [...folders].sort().map((folder) => {
  const about = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const file = readdirSync(folder).find((name) => /^licen[cs]e/i.test(name));
  if (!file || !existsSync(join(folder, file))) throw new Error(`no licence in ${folder}`);
  return `${about.name} ${about.version} (${about.license})\n\n${readFileSync(join(folder, file), "utf8").trim()}\n`;
});
const head = "The file extension.js holds parts of these libraries, under their own licences.\n";
writeFileSync("dist/licences.txt", [head, ...parts].join(`\n${"-".repeat(80)}\n\n`));

// Reads descriptions with the engine that editors use for TextMate grammars and prints, as JSON, the tokens of
// each file: [line, first column, column behind the last, scopes]. Lines and columns count from 0, in UTF-16 units.
//
//   node test/tokens.mjs FILE...            all tokens
//   node test/tokens.mjs --unscoped FILE... only words that no rule has named; exit code 1 where there are any
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import oniguruma from "vscode-oniguruma";
import textmate from "vscode-textmate";

const here = dirname(fileURLToPath(import.meta.url));
const grammarFile = join(here, "..", "syntaxes", "movement.tmLanguage.json");
const wasm = createRequire(import.meta.url).resolve("vscode-oniguruma/release/onig.wasm");

await oniguruma.loadWASM(readFileSync(wasm));
const registry = new textmate.Registry({
  onigLib: Promise.resolve({
    createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
    createOnigString: (text) => new oniguruma.OnigString(text),
  }),
  loadGrammar: async () => textmate.parseRawGrammar(readFileSync(grammarFile, "utf8"), grammarFile),
});
const grammar = await registry.loadGrammar("source.movement");

function tokensOf(text) {
  const found = [];
  let state = textmate.INITIAL;
  text.split("\n").forEach((line, number) => {
    const read = grammar.tokenizeLine(line, state);
    if (read.stoppedEarly) throw new Error(`line ${number + 1} took too long`);
    for (const token of read.tokens) {
      found.push([number, token.startIndex, Math.min(token.endIndex, line.length), token.scopes]);
    }
    state = read.ruleStack;
  });
  return found;
}

const onlyUnscoped = process.argv[2] === "--unscoped";
const files = process.argv.slice(onlyUnscoped ? 3 : 2);
const answer = {};
let unscoped = 0;
for (const file of files) {
  const text = readFileSync(file, "utf8");
  const lines = text.split("\n");
  let tokens = tokensOf(text);
  if (onlyUnscoped) {
    tokens = tokens.filter(
      ([line, start, end, scopes]) => scopes.length < 2 && /[\p{L}\p{N}]/u.test(lines[line].slice(start, end)),
    );
    unscoped += tokens.length;
  }
  answer[file] = tokens;
}
process.stdout.write(JSON.stringify(answer) + "\n");
process.exitCode = unscoped ? 1 : 0;

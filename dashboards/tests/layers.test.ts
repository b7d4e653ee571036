/** Imports of the screens flow down: from views over models to feed and words, and in no circle. */
import assert from "node:assert/strict";
import { globSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { test } from "node:test";

const SRC = join(import.meta.dirname, "..", "src");
const IMPORT = /(?:from|import) "(\.[^"]+\.tsx?)"/g;

/** What each folder may not know. */
const ABOVE: Readonly<Record<string, readonly string[]>> = {
  words: ["feed", "senses", "models", "views"],
  feed: ["senses", "models", "views"],
  senses: ["feed", "models", "views"],
  models: ["views"],
};

const files = globSync("**/*.{ts,tsx}", { cwd: SRC });
const imports = new Map(files.map((file) => [file, importsOf(file)]));

function importsOf(file: string): string[] {
  const source = readFileSync(join(SRC, file), "utf8");
  return [...source.matchAll(IMPORT)].map(
    ([, path = ""]) => relative(SRC, join(SRC, dirname(file), path)),
  );
}

const roomOf = (file: string): string => file.split("/")[0] ?? file;

test("no folder knows one above it", () => {
  assert.ok(files.length > 100);
  const upward = [...imports].flatMap(([file, used]) =>
    used.filter((other) => ABOVE[roomOf(file)]?.includes(roomOf(other)))
      .map((other) => `${file} -> ${other}`));
  assert.deepEqual(upward, []);
});

test("no file needs itself by way of others", () => {
  const done = new Set<string>();
  const walk = (file: string, way: readonly string[]): void => {
    const before = way.indexOf(file);
    assert.equal(before, -1, [...way.slice(before), file].join(" -> "));
    if (done.has(file)) return;
    for (const other of imports.get(file) ?? []) walk(other, [...way, file]);
    done.add(file);
  };
  for (const file of files) walk(file, []);
});

test("only the files of the chart know its library", () => {
  const known = files.filter((file) =>
    /from "uplot"/.test(readFileSync(join(SRC, file), "utf8")));
  assert.deepEqual(known.map(roomOf).filter((room) => !room.startsWith("chart")), []);
});

import assert from "node:assert/strict";
import { test } from "node:test";
import { Refusal, UNREACHABLE } from "../src/feed/refusal.ts";
import { httpService } from "../src/feed/service.ts";

const HALF = '[{"id": "7", "ben';
const json = (status: number): ResponseInit =>
  ({ status, headers: { "content-type": "application/json" } });

for (const [what, answer] of [
  ["the line breaks before an answer", () => Promise.reject(new TypeError("failed to fetch"))],
  ["the line breaks in an answer", async () => new Response(HALF, json(200))],
  ["the line breaks in a refusal", async () => new Response(HALF, json(409))],
] as const) {
  test(`${what}: the service is not reachable, and nothing is broken here`, async (t) => {
    t.mock.method(globalThis, "fetch", answer);
    await assert.rejects(httpService.lots(), (error) => {
      assert.ok(error instanceof Refusal);
      assert.equal(error.status, UNREACHABLE);
      return true;
    });
  });
}

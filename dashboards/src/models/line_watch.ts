import type { FeedStatus } from "../feed/feed.ts";

/** A line that is back within this long was only a hiccup; seconds of life, ours, no source. */
const PATIENCE_S = 10;
const AGAIN_S = 60;

/** When a line that is gone calls for a person, and when again. */
export class LineWatch {
  #lostAt: number | null = null;
  #calledAt: number | null = null;

  /** Whether to call at `nowMs`. */
  calls(line: FeedStatus, nowMs: number): boolean {
    if (line !== "lost") {
      this.#lostAt = null;
      this.#calledAt = null;
      return false;
    }
    this.#lostAt ??= nowMs;
    const since = this.#calledAt ?? this.#lostAt;
    const patience = this.#calledAt === null ? PATIENCE_S : AGAIN_S;
    if (nowMs - since < patience * 1000) return false;
    this.#calledAt = nowMs;
    return true;
  }
}

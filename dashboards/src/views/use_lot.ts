import { useSignalEffect } from "@preact/signals";
import { useEffect, useMemo, useState } from "preact/hooks";
import { LotScreen } from "../models/lot_screen.ts";
import type { WorkshopModel } from "../models/workshop.ts";

/** How often the curves of a lot that is still open are fetched again. */
const REFRESH_MS = 10_000;

/** The page's model: fetched now, after each new connection, and again while the lot goes on. */
export function useLot(workshop: WorkshopModel, id: string): LotScreen {
  const screen = useMemo(() => new LotScreen(workshop, id, location.search), [workshop, id]);
  const { record, beside } = screen;
  const [turn, next] = useState(0);
  const connection = workshop.connection.value;
  const open = record.lot.value?.state === "open";
  const began = record.lot.value?.phases.length ?? null;
  const here = began !== null;
  useEffect(() => screen.start(), [screen]);
  useEffect(() => {
    if (began === null) return;
    void record.loadGoodLots(); // laid on the lot's phases, they grow with them
    void beside.load();
  }, [screen, connection, began]);
  useEffect(() => {
    if (here) void record.loadMeasured(); // from then on it is fetched again with the lot
  }, [screen, connection, here]);
  useEffect(() => {
    void record.load().then(() => record.loadCurves());
  }, [screen, connection, turn, open]); // once more when it closes: its last seconds
  useEffect(() => {
    if (!open) return undefined;
    const timer = window.setInterval(() => next((n) => n + 1), REFRESH_MS);
    return () => window.clearInterval(timer);
  }, [open]);
  useSignalEffect(() => {
    const address = screen.address(location.search);
    // What is looked at can be sent to somebody; it is no step that one goes back from.
    if (address !== location.search) {
      history.replaceState(history.state, "", location.pathname + address + location.hash);
    }
  });
  return screen;
}

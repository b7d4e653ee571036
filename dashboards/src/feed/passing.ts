/** The wall's clock must be ahead by this much to tell of a sleep and not of its own adjusting. */
const SLEEP_MS = 1_000;

/**
 * Counts the milliseconds that pass. A machine's steady counter may stand still while it sleeps;
 * then the time comes from its wall clock, which is not trusted for anything else.
 */
export function passing(steady: () => number, wall: () => number): () => number {
  let total = 0;
  let [steadyAt, wallAt] = [steady(), wall()];
  return () => {
    const [steadyNow, wallNow] = [steady(), wall()];
    const awake = steadyNow - steadyAt;
    const asleep = wallNow - wallAt - awake;
    total += awake + (asleep > SLEEP_MS ? asleep : 0);
    [steadyAt, wallAt] = [steadyNow, wallNow];
    return total;
  };
}

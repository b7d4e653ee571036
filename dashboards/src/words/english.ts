/** All that the screens say, in English; what the service says itself comes as it is. */
export { alarms } from "./english/alarms.ts";
export { bench } from "./english/bench.ts";
export { chart } from "./english/chart.ts";
export { deviations } from "./english/deviations.ts";
export { temperature, forecast, reading, scale } from "./english/figures.ts";
export { instruments } from "./english/instruments.ts";
export { lot, phases, marks, verdict, gaps } from "./english/lot.ts";
export { weighings, sheet } from "./english/lot_grams.ts";
export { asked } from "./english/lot_asked.ts";
export { beside, keeping } from "./english/lot_beside.ts";
export { curve } from "./english/lot_curve.ts";
export { story } from "./english/lot_story.ts";
export { targets } from "./english/lot_targets.ts";
export { lots } from "./english/lots.ts";
export { opening } from "./english/opening.ts";
export { page } from "./english/page.ts";
export { phaseName } from "./english/phase_names.ts";

/** All that the screens say, in English; what the service says itself comes as it is. */
export { alarms } from "./english/alarms.ts";
export { alarmHistory } from "./english/alarm_history.ts";
export { attention } from "./english/attention.ts";
export { bench } from "./english/bench.ts";
export { chart } from "./english/chart.ts";
export { deviations } from "./english/deviations.ts";
export { exports } from "./english/export.ts";
export { temperature, forecast, reading, scale } from "./english/figures.ts";
export { health } from "./english/health.ts";
export { hand } from "./english/hand.ts";
export { instruments } from "./english/instruments.ts";
export { lot, phases, marks, verdict, gaps } from "./english/lot.ts";
export { weighings, sheet } from "./english/lot_grams.ts";
export { lots } from "./english/lots.ts";
export { opening } from "./english/opening.ts";
export { page } from "./english/page.ts";
export { pourDays } from "./english/pour_days.ts";
export { phaseName } from "./english/phase_names.ts";

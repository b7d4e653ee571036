import type { LotModel } from "../models/lot.ts";
import type { LotScreen } from "../models/lot_screen.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Lot } from "../types.ts";

/** What every panel of a lot's page gets; each takes what it needs. */
export interface LotPanelProps {
  workshop: WorkshopModel;
  screen: LotScreen;
  model: LotModel;
  lot: Lot;
  /** The part of the page that was asked for, empty where none was. */
  part: string;
}

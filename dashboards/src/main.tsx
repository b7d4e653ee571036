import { render } from "preact";
import { EventStreamFeed } from "./feed/event_stream_feed.ts";
import { dialEventSource } from "./feed/line.ts";
import { passing } from "./feed/passing.ts";
import { watchPresence } from "./feed/presence.ts";
import { httpService } from "./feed/service.ts";
import { WorkshopModel } from "./models/workshop.ts";
import { BrowserSenses } from "./senses/browser_senses.ts";
import { Router } from "./router.ts";
import { Page } from "./views/page.tsx";

const root = document.getElementById("app");
if (root === null) throw new Error("index.html has no element with the id app");

const ticks = passing(() => performance.now(), () => Date.now());
const presence = watchPresence();
const workshop = new WorkshopModel({
  feed: new EventStreamFeed("/api/live", { dial: dialEventSource, presence, ticks }),
  service: httpService,
  ticks,
  keep: localStorage,
  senses: new BrowserSenses(),
});
const router = new Router();
router.start();
workshop.start();
router.guardWindow(workshop.photographs.underWay);
render(<Page workshop={workshop} router={router} />, root);

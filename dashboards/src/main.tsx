import { render } from "preact";
import { EventStreamFeed } from "./feed/event_stream_feed.ts";
import { httpService } from "./feed/service.ts";
import { WorkshopModel } from "./models/workshop.ts";
import { BrowserSenses } from "./senses/browser_senses.ts";
import { Router } from "./router.ts";
import { Page } from "./views/page.tsx";

const root = document.getElementById("app");
if (root === null) throw new Error("index.html has no element with the id app");

const workshop = new WorkshopModel({
  feed: new EventStreamFeed("/api/live"),
  service: httpService,
  ticks: () => performance.now(),
  keep: localStorage,
  senses: new BrowserSenses(),
});
const router = new Router();
router.start();
workshop.start();
render(<Page workshop={workshop} router={router} />, root);

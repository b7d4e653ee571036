import { defineConfig } from "vite";

/** Where a service runs while its screens are being developed (`npm run dev`). */
const SERVICE = process.env["POURKEEP_SERVICE"] ?? "http://127.0.0.1:8420";

export default defineConfig({
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    target: "es2022",
    // Everything comes from /assets: the content policy allows no data in style or script.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { proxy: { "/api": SERVICE } },
});

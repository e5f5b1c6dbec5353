// Opens a report in headless Chromium, checks it with axe-core, keeps pictures. See README.md.
import { createRequire } from "node:module";
import { mkdirSync, mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const require = createRequire(join(process.env.NODE_PATH ?? ".", "x.js"));
const find = (name) => require(require.resolve(name, { paths: [process.env.NODE_PATH ?? "."] }));
const { chromium } = find("playwright-core");
const axe = readFileSync(
  require.resolve("axe-core/axe.min.js", { paths: [process.env.NODE_PATH ?? "."] }),
  "utf8",
);

const [report, pictures] = process.argv.slice(2);
if (!report || !pictures) {
  console.error("usage: node check.mjs REPORT.html PICTURES");
  process.exit(2);
}
mkdirSync(pictures, { recursive: true });

const sizes = [
  ["phone", 360, 740],
  ["tablet", 820, 1180],
  ["a4", 794, 1123], // 210 by 297 mm at 96 dots an inch
];
const browser = await chromium.launchPersistentContext(mkdtempSync(join(tmpdir(), "report-")), {
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  headless: true,
  bypassCSP: true, // axe-core is put into the page; the page itself lets nothing run
  args: [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ],
});
let failed = false;
for (const [name, width, height] of sizes) {
  const page = await browser.newPage();
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith("file:") && !url.startsWith("data:")) {
      console.log(`${name}: asks for ${url}`);
      failed = true;
    }
  });
  await page.setViewportSize({ width, height });
  if (name === "a4") await page.emulateMedia({ media: "print" });
  await page.goto(pathToFileURL(resolve(report)).href);
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
  const wide = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  if (wide > 0) {
    console.log(`${name}: ${wide} pixels wider than the window`);
    failed = true;
  }
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  for (const it of found.violations) {
    const grave = ["serious", "critical"].includes(it.impact);
    failed ||= grave;
    console.log(`${name}: ${it.impact}: ${it.id}: ${it.help} (${it.nodes.length})`);
    for (const node of it.nodes.slice(0, 3)) console.log(`    ${node.html.slice(0, 160)}`);
  }
  console.log(`${name}: ${found.violations.length} findings, ${found.passes.length} rules passed`);
  if (name === "a4") await page.pdf({ path: join(pictures, "a4.pdf"), preferCSSPageSize: true });
  await page.close();
}
await browser.close();
process.exit(failed ? 1 : 0);

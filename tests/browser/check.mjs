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

// Words of figures that lie on one another or leave their drawing, in units of the drawing.
const crowded = () => {
  const found = [];
  for (const svg of document.querySelectorAll("figure svg")) {
    const [, , width, height] = svg.getAttribute("viewBox").split(" ").map(Number);
    const boxes = [...svg.querySelectorAll("text")].map((text) => [text.textContent, text.getBBox()]);
    const title = svg.querySelector("title").textContent;
    boxes.forEach(([words, a], k) => {
      if (a.x < 0 || a.y < 0 || a.x + a.width > width || a.y + a.height > height)
        found.push(`${title}: "${words}" leaves the drawing`);
      for (const [other, b] of boxes.slice(k + 1)) {
        const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
        const tall = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
        // The box of a line of text holds room above and below its letters.
        if (wide > 1 && tall > 0.35 * Math.min(a.height, b.height))
          found.push(`${title}: "${words}" lies on "${other}"`);
      }
    });
  }
  return found;
};

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
  if (name === "tablet") {
    for (const it of await page.evaluate(crowded)) {
      console.log(`figure: ${it}`);
      failed = true;
    }
    for (const print of ["colour", "grey"]) {
      if (print === "grey") await page.addStyleTag({ content: "html{filter:grayscale(1)}" });
      const drawings = await page.$$(".drawing");
      for (const [k, drawing] of drawings.entries())
        await drawing.screenshot({ path: join(pictures, `figure-${k + 1}-${print}.png`) });
    }
  }
  if (name === "a4") await page.pdf({ path: join(pictures, "a4.pdf"), preferCSSPageSize: true });
  await page.close();
}
await browser.close();
process.exit(failed ? 1 : 0);

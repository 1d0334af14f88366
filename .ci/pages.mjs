// Called by .ci/pages: opens the pages in a browser and exits with 1 if one of them is not as it should be.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { chromium } from "playwright-core";

const [executablePath, work] = process.argv.slice(2);
const axe = readFileSync(resolve(work, "node_modules/axe-core/axe.min.js"), "utf8");
const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
const wrong = [];
let looked = 0;

// Pages of a PDF that Chromium wrote: one object of this type for each.
const pagesOf = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;

for (const name of ["glance", "full"]) {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [320, 1000]) {
      const page = await browser.newPage({ colorScheme, viewport: { width, height: 700 } });
      const asked = [];
      page.on("request", (request) => asked.push(request.url()));
      await page.goto(`file://${resolve(work, name + ".html")}`);
      const at = `${name}, ${colorScheme}, ${width} px`;
      if (asked.length !== 1) wrong.push(`${at}: asks for more than itself: ${asked.slice(1)}`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      if (wide > width) wrong.push(`${at}: scrolls sideways, ${wide} px wide`);
      await page.evaluate(axe);
      const found = await page.evaluate(() => axe.run());
      if (found.passes.length === 0) wrong.push(`${at}: no accessibility rule was tried`);
      for (const v of found.violations) wrong.push(`${at}: ${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 200)}`);
      writeFileSync(resolve(work, `${name}-${colorScheme}-${width}.png`), await page.screenshot({ fullPage: true }));
      looked += 1;
      await page.close();
    }
  }
  const page = await browser.newPage();
  await page.goto(`file://${resolve(work, name + ".html")}`);
  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, preferCSSPageSize: true });
    writeFileSync(resolve(work, `${name}-${format}.pdf`), pdf);
    const pages = pagesOf(pdf);
    if (pages < 1) wrong.push(`${name} on ${format}: no page in the PDF`);
    if (name === "glance" && pages !== 1) wrong.push(`${name} on ${format}: ${pages} pages instead of one`);
    console.log(`${name} on ${format}: ${pages} page(s)`);
  }
  await page.close();
}
await browser.close();
for (const line of wrong) console.log(line);
console.log(`${looked} pages looked at, ${wrong.length} faults`);
process.exit(wrong.length > 0 ? 1 : 0);

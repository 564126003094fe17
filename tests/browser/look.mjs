// look.mjs PROGRAM FOLDER [NETLIST...]: opens the report of each demonstration in Chromium, as a reader
// would on a phone and on a desk, in light, in the dark, on paper, without script; and says what is not
// right. FOLDER holds node_modules; the reports and pictures of them go there too.
// SPDX-License-Identifier: MIT
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { contrasts, overflows } from "./measure.mjs";

const [program, folder, ...chosen] = process.argv.slice(2);
const { chromium } = createRequire(resolve(folder, "package.json"))("playwright-core");

// Charts of one report that are read, about: they are all alike.
const CHARTS_READ = 6;

let broken = 0;
let checks = 0;
function expect(holds, what) {
  checks++;
  if (!holds) {
    broken++;
    console.error(`browser: ${what}`);
  }
}

// A page of its own, which may not ask for anything but its file and may not complain.
async function open(browser, file, name, options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const address = pathToFileURL(file).href;
  page.on("console", (m) => expect(false, `${name}: console: ${m.text()}`));
  page.on("pageerror", (e) => expect(false, `${name}: ${e.message}`));
  page.on("request", (r) => expect(r.url().split("#")[0] === address, `${name}: asks for ${r.url()}`));
  await page.goto(address);
  return { page, close: () => context.close() };
}

async function unfold(page) {
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
}

// Nothing is wider than the page.
async function fits(page, name) {
  for (const wide of await page.evaluate(overflows)) {
    expect(false, `${name}: ${wide}`);
  }
  checks++;
}

// All words stand out from what is behind them.
async function stands_out(page, name) {
  const faint = await page.evaluate(contrasts);
  expect(faint.measured > 50, `${name}: only ${faint.measured} texts measured`);
  for (const one of faint.low) {
    expect(false, `${name}: ${one}`);
  }
  checks++;
}

const sizes = [["tiny", 320, 640], ["phone", 390, 844], ["desk", 1280, 900], ["wide", 1920, 1080]];

async function screens(browser, file, name) {
  for (const [size, width, height] of sizes) {
    for (const colorScheme of ["light", "dark"]) {
      const kept = size === "phone" || size === "desk";
      if (!kept && colorScheme === "dark") {
        continue; // colours do not depend on the width, nor widths on colours
      }
      const what = `${name}-${size}-${colorScheme}`;
      const { page, close } = await open(browser, file, what, { viewport: { width, height }, colorScheme });
      if (kept) {
        await page.screenshot({ path: join(folder, `${what}.png`), fullPage: true });
      }
      await unfold(page);
      if (colorScheme === "light") {
        await fits(page, what);
      }
      if (size === "desk") {
        await stands_out(page, what);
      }
      await close();
    }
  }
}

// States that sections belong to, those of them that can be seen, and the columns that are marked.
function shown() {
  const sections = [...document.querySelectorAll("[data-state]")];
  const names = (list) => [...new Set(list.map((s) => s.dataset.state ?? s.dataset.of))].sort();
  return {
    all: names(sections),
    seen: names(sections.filter((s) => s.checkVisibility())),
    marked: names([...document.querySelectorAll(".now")]),
  };
}

async function states(browser, file, name) {
  const { page, close } = await open(browser, file, name, { viewport: { width: 1280, height: 900 } });
  await unfold(page);
  const first = await page.evaluate(shown);
  expect(first.all.length > 0, `${name}: no section of a state`);
  expect(first.seen.join() === first.all.join(), `${name}: at first only ${first.seen} are shown`);
  const choices = page.locator(".switch label");
  if (first.all.length > 1) {
    expect((await choices.count()) === first.all.length + 1, `${name}: not every state can be chosen`);
    await choices.nth(2).click();
    const word = await choices.nth(2).innerText();
    const one = await page.evaluate(shown);
    expect(one.seen.join() === word && one.marked.join() === word, `${name}: a click on ${word} shows ${one.seen}, marks ${one.marked}`);
    await page.keyboard.press("ArrowLeft");
    const before = await page.evaluate(shown);
    expect(before.seen.length === 1 && before.seen[0] !== word, `${name}: the arrow key shows ${before.seen}`);
    await page.keyboard.press("ArrowLeft");
    const again = await page.evaluate(shown);
    expect(again.seen.join() === first.all.join() && again.marked.length === 0, `${name}: all of them are not back`);
  } else {
    expect((await choices.count()) === 0, `${name}: a choice of one`);
  }
  await close();
}

// Chapters fold, and open for links that lead there.
async function chapters(browser, file, name) {
  const { page, close } = await open(browser, file, name, { viewport: { width: 1280, height: 900 } });
  const open_now = () => page.evaluate(() => [...document.querySelectorAll(".chapter > details")].map((d) => d.open));
  const before = await open_now();
  expect(before[0] && before.includes(false), `${name}: folded as ${before}`);
  const last = before.lastIndexOf(false);
  await page.locator(".contents a").nth(last).click();
  await page.waitForTimeout(50);
  expect((await open_now())[last], `${name}: a link does not open its chapter`);
  await page.locator(".chapter > details > summary").nth(last).focus();
  await page.keyboard.press("Enter");
  expect(!(await open_now())[last], `${name}: the keyboard does not fold`);
  await close();
}

async function paper(browser, file, name) {
  const { page, close } = await open(browser, file, name, { viewport: { width: 720, height: 1000 } });
  const folded = await page.evaluate(() => document.querySelectorAll("details:not([open])").length);
  const bytes = await page.pdf({ path: join(folder, `${name}.pdf`), format: "A4" });
  expect(bytes.length > 20000, `${name}: a PDF of ${bytes.length} bytes`);
  expect((await page.evaluate(() => document.querySelectorAll("details:not([open])").length)) === folded, `${name}: printing changes what is folded`);
  await page.emulateMedia({ media: "print" });
  const hidden = await page.evaluate(() => [...document.querySelectorAll("main :is(p, td, th, li)")].filter((e) => e.closest(".switch, .readout") === null && !e.checkVisibility()).length);
  expect(hidden === 0, `${name}: ${hidden} texts are not printed`);
  await fits(page, name);
  await stands_out(page, name);
  await close();
}

// All there without script: every section and every chapter, and no control that does nothing.
async function scriptless(browser, file, name) {
  for (const width of [320, 1280]) {
    const { page, close } = await open(browser, file, name, { viewport: { width, height: 900 }, javaScriptEnabled: false });
    expect(!(await page.locator(".switch").first().isVisible().catch(() => false)), `${name}: a choice that does nothing`);
    for (const what of ["details:not([open])", "[data-state][hidden]"]) {
      expect((await page.locator(what).count()) === 0, `${name}: ${what} without script`);
    }
    await page.screenshot({ path: join(folder, `${name}-${width}.png`) });
    await close();
  }
}

// Each curve can be read with the pointer and with the keyboard.
async function readings(browser, file, name) {
  const { page, close } = await open(browser, file, name, { viewport: { width: 1280, height: 900 } });
  await unfold(page);
  const charts = page.locator("figure[data-chart]");
  const count = await charts.count();
  const step = Math.max(1, Math.floor(count / CHARTS_READ));
  for (let k = 0; k < count; k += step) {
    const chart = charts.nth(k);
    const said = () => chart.locator(".readout").innerText();
    await chart.locator("svg").evaluate((e) => e.scrollIntoView({ block: "center" }));
    const box = await chart.locator("svg").boundingBox();
    await page.mouse.move(box.x + 0.4 * box.width, box.y + 0.5 * box.height);
    const here = await said();
    expect(/\d/.test(here), `${name}: chart ${k} says nothing under the pointer: ${here}`);
    await page.mouse.move(box.x + 0.55 * box.width, box.y + 0.5 * box.height);
    expect((await said()) !== here, `${name}: chart ${k} says the same everywhere`);
    await chart.locator(".plot").focus();
    await page.keyboard.press("Home");
    const start = await said();
    await page.keyboard.press("ArrowRight");
    const next = await said();
    await page.keyboard.press("End");
    const end = await said();
    expect(new Set([start, next, end]).size === 3, `${name}: chart ${k} does not follow the keyboard: ${start} | ${next} | ${end}`);
  }
  await close();
}

const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
try {
  const demonstrations = readdirSync("netlists").filter((f) => f.endsWith(".air"));
  for (const netlist of chosen.length > 0 ? chosen : demonstrations) {
    const name = netlist.replace(".air", "");
    const file = resolve(join(folder, `${name}.html`));
    execFileSync(program, ["report", join("netlists", netlist), "--out", file]);
    await screens(browser, file, name);
    await states(browser, file, `${name}-states`);
    await chapters(browser, file, `${name}-chapters`);
    await readings(browser, file, `${name}-readings`);
    await paper(browser, file, `${name}-paper`);
    await scriptless(browser, file, `${name}-scriptless`);
    console.log(`browser: ${name}: looked at`);
  }
} finally {
  await browser.close();
}
console.log(`browser: ${checks} checks, ${broken} did not hold`);
process.exit(broken > 0 ? 1 : 0);

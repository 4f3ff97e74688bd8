// Makes the pictures of README.md from the demo shop: `tests/outside/pictures`.
// Run by hand after the look has changed; no check depends on it.

import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT, inBrowser, inFolder, serve } from './workroom.mjs';

const FOLDER = join(ROOT, 'tests/pictures');
// Flat colours and few of them: a palette keeps each picture small.
const COLOURS = 64;

const LOOK = { deviceScaleFactor: 1, colorScheme: 'light', reducedMotion: 'reduce' };
const DESK = { ...LOOK, viewport: { width: 1280, height: 860 } };
const PHONE = { ...LOOK, deviceScaleFactor: 2, viewport: { width: 390, height: 780 } };

/** The picture as PNG with a palette; needs the Python packages of these checks (Pillow). */
function keep(name, bytes, folder) {
  const raw = join(folder, `${name}.png`);
  writeFileSync(raw, bytes);
  const reduce = [
    'import sys', 'from PIL import Image',
    `picture = Image.open(sys.argv[1]).convert('RGB').quantize(${COLOURS}, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)`,
    'picture.save(sys.argv[2], optimize=True)',
  ].join('\n');
  const file = join(FOLDER, `${name}.png`);
  execFileSync(join(ROOT, 'tests/outside/.venv/bin/python'), ['-c', reduce, raw, file], { stdio: 'inherit' });
  console.log(`tests/pictures/${name}.png  ${Math.round(statSync(file).size / 1024)} kB`);
}

/** An order of the demo to show: a wrap skirt that is drafted and not collected yet. */
async function anOrder(address) {
  const list = await (await fetch(`${address}/orders`)).text();
  const orders = [...new Set([...list.matchAll(/href="(\/orders\/\d{4}-\d{4})/g)].map((found) => found[1]))];
  for (const order of orders) {
    const words = await (await fetch(address + order)).text();
    if (/wrap skirt/i.test(words) && words.includes('class="drawing"')) {
      return { order, client: words.match(/href="(\/clients\/\d+)"/)[1] };
    }
  }
  throw new Error('No order of the demo shows a wrap skirt.');
}

mkdirSync(FOLDER, { recursive: true });
await inBrowser((browser) => inFolder((folder) => serve(['demo', '--port', '0'], async (address) => {
  const { order, client } = await anOrder(address);
  const shot = async (name, path, look, prepare = async () => {}) => {
    const context = await browser.newContext(look);
    const page = await context.newPage();
    await page.goto(address + path, { waitUntil: 'networkidle' });
    await prepare(page);
    keep(name, await page.screenshot(), folder);
    await context.close();
  };
  await shot('today', '/', DESK);
  await shot('order', order, DESK);
  await shot('styles', '/styles', DESK);
  // With the tape in her hand: the first measure is typed, its eighths about to be tapped.
  await shot('fitting', `${client}/fitting?garment=${order.split('/').at(-1)}/A`, PHONE, async (page) => {
    const first = page.locator('.measure').first();
    await first.locator('input[type=text]').fill('28');
    await first.locator('label:has(input[value="3"])').click();
    await first.evaluate((measure) => window.scrollBy(0, measure.getBoundingClientRect().top - 90));
  });
  // The sheet as it comes out of the printer.
  const page = await browser.newPage();
  await page.goto(`${address}${order}/A/sheet?paper=a4`);
  const pdf = join(folder, 'sheet.pdf');
  writeFileSync(pdf, await page.pdf({ preferCSSPageSize: true }));
  execFileSync('pdftoppm', ['-png', '-r', '88', '-singlefile', pdf, join(folder, 'printed')]);
  keep('sheet', readFileSync(join(folder, 'printed.png')), folder);
})));

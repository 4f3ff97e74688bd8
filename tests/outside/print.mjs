// Job sheets on paper: Chromium prints each style on A4 and on Letter, poppler reads
// the paper back. At most two pages (four, each with its name, of a garment of many pieces), the right size, what a cutter needs, never a price
// or a telephone number.

import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { BODKIN, Count, inBrowser, inFolder, serve } from './workroom.mjs';

const PAPERS = { a4: [595.3, 841.9], letter: [612, 792] };
/** One sheet of paper, two sides. Dresses, tops and darted trousers have more pieces and steps than two
 *  sides hold: they run on to as many pages again, each with its name. */
const TWO_PAGES = [
  'straight_skirt', 'flared_skirt', 'wrap_skirt', 'circle_skirt', 'gathered_skirt', 'pleated_skirt', 'wrapper', 'apron', 'elastic_trousers',
  'school_shorts',
];
const MOST_PAGES = 2;
const MOST_PAGES_OF_MANY = 4;
const CHILDRENS = ['childs_frock', 'pinafore', 'school_shorts'];
const PHONE = '+351 210 000 117';
const PRICE = '987.65';

// Two shops of our own invention: inches and a short name, centimetres and a long one.
const SHOPS = [
  { unit: 'eighths', name: 'Zoë Farrugia', bust: '36 1/2', waist: '29 1/2', hip: '38 1/2', width: '45', words: ['bust_girth=36 1/2 in', 'waist_girth=29 1/2 in', 'hip_girth=38 1/2 in'] },
  {
    unit: 'millimetres', name: 'Maria da Conceição Vasconcelos-Albuquerque', bust: '118', waist: '104.5', hip: '121', width: '114',
    words: ['bust_girth=118cm', 'waist_girth=104.5cm', 'hip_girth=121cm', '--cm'],
  },
];

const count = new Count();

/** A form of ours, answered with a way to go on. */
async function post(address, path, fields) {
  const answer = await fetch(address + path, {
    method: 'POST', redirect: 'manual', headers: { origin: address }, body: new URLSearchParams(fields),
  });
  if (answer.status !== 303) throw new Error(`POST ${path}: ${answer.status} ${(await answer.text()).replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ').slice(0, 400)}`);
  return answer.headers.get('location').split(/[?#]/)[0];
}

const EIGHTHS = ['', '⅛', '¼', '⅜', '½', '⅝', '¾', '⅞'];

/** Eighths as paper shows them: 187.3 mm → 7⅜; or tenths of a centimetre. The bodies above
 *  are such that no chalk number is an odd sixteenth, which paper would show as one. */
function figure(mm, unit) {
  if (unit === 'millimetres') return (Math.round(mm) / 10).toFixed(1).replace(/\.0$/, '');
  const eighths = Math.round((mm / 25.4) * 8);
  const [whole, part] = [Math.floor(eighths / 8), EIGHTHS[eighths % 8]];
  return whole === 0 && part ? part : `${whole}${part}`;
}

/** `1 1/2 in` as paper sets it: `1½ in`. */
function set(words) {
  return words.replace(/(?:(\d+) )?(\d)\/([248])(?!\d)/g, (_, whole, over, under) => `${whole ?? ''}${EIGHTHS[(Number(over) * 8) / Number(under)]}`);
}

/** What the command line drafts for the same figures. */
function drafted(style, words) {
  return JSON.parse(execFileSync(BODKIN, ['draft', style, ...words, '--json'], { encoding: 'utf8', maxBuffer: 1 << 26 }));
}

/** The sheet printed: its pages' text without blanks, and their sizes in points. */
async function printed(page, address, folder) {
  await page.goto(address, { waitUntil: 'load' });
  const file = join(folder, 'sheet.pdf');
  writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: true }));
  const info = execFileSync('pdfinfo', ['-l', '99', file], { encoding: 'utf8' });
  const sizes = [...info.matchAll(/Page +\d+ size: +([\d.]+) x ([\d.]+)/g)].map((found) => [Number(found[1]), Number(found[2])]);
  const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  const pages = text.split('\f').slice(0, sizes.length);
  return { sizes, pages, bare: bare(text), file };
}

/** Words that do not lie within the margins of a page on its side: what the edge of a drawing cuts is among them. */
function beyond(file) {
  /** Margins of 10 mm, and a hair for letters that lean out. */
  const LEAST = 28.3 - 1.5;
  const text = execFileSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8' });
  return text.split('<page ').slice(1).flatMap((page) => {
    const [wide, high] = page.match(/width="([\d.]+)" height="([\d.]+)"/).slice(1, 3).map(Number);
    const words = [...page.matchAll(/xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)</g)];
    return words.filter(([, left, top, right, foot]) => Number(left) < LEAST || Number(right) > wide - LEAST
      || Number(top) < 0 || Number(foot) > high).map((word) => word[5]);
  });
}

function bare(text) {
  return text.replace(/[\s\u00a0\u2009\u202f]+/g, '');
}

async function ownSheets(page, folder) {
  for (const shop of SHOPS) {
    await inFolder((data) => serve(['serve', '--data', data, '--port', '0'], async (address) => {
      const hours = Object.fromEntries([6, 6, 6, 6, 6, 4, 0].map((value, day) => [`hours.${day}`, String(value)]));
      await post(address, '/shop/open', { shop_name: 'Ropewalk Sewing Room', showing: shop.unit, currency: 'EUR', ...hours });
      const client = await post(address, '/clients', { name: shop.name, wearer: 'woman', phone: PHONE, fit_notes: 'One shoulder lower: no matter for a skirt' });
      await post(address, `${client}/fitting`, { 'm.bust_girth': shop.bust, 'm.waist_girth': shop.waist, 'm.hip_girth': shop.hip, day: today(), source: 'tape' });
      const styles = execFileSync(BODKIN, ['styles'], { encoding: 'utf8' }).trim().split('\n').map((line) => line.split(/\s/)[0]);
      count.hold('the style book has its styles', styles.length >= 5, styles.join());
      // Children's styles are not drafted for a bust of 118 cm.
      const worn = styles.filter((key) => shop.unit === 'eighths' || !CHILDRENS.includes(key));
      for (const style of worn) {
        await count.part(`${style} in ${shop.unit}`, () => oneStyle(page, folder, address, shop, client, style));
      }
    }));
  }
}

async function oneStyle(page, folder, address, shop, client, style) {
  const draft = drafted(style, shop.words.filter((word) => style !== 'apron' || !word.startsWith('waist_girth')));
  const order = await post(address, '/orders', {
    client: client.split('/').at(-1), style, what: 'Sunday best', price: PRICE, promised: '2099-05-30', fittings: '1', width: shop.width,
  });
  for (const [paper, size] of Object.entries(PAPERS)) {
    const sheet = `${style}, ${shop.unit}, ${paper}`;
    const { sizes, pages, bare: text } = await printed(page, `${address}${order}/A/sheet?paper=${paper}`, folder);
    checkPaper(sheet, size, sizes, pages, TWO_PAGES.includes(style) ? MOST_PAGES : MOST_PAGES_OF_MANY);
    const missing = ['Sunday best', order.split('/').at(-1), ...draft.pieces.map((piece) => piece.label), ...draft.strips.map((strip) => strip.label)]
      .filter((words) => !text.includes(bare(words)));
    count.hold(`${sheet}: names what is cut`, missing.length === 0, missing.join(', '));
    const heads = pages.filter((words) => bare(words).includes(bare(shop.name).slice(0, 12)));
    count.hold(`${sheet}: each page says whose it is`, heads.length === pages.length, `${heads.length} of ${pages.length}`);
    const chalk = draft.pieces.flatMap((piece) => piece.chalk.map((line) => figure(line.mm, shop.unit)));
    const lost = chalk.filter((number) => !text.includes(number));
    count.hold(`${sheet}: has the chalk numbers`, chalk.length > 0 && lost.length === 0, `without ${lost.join(', ')}`);
    const steps = draft.steps.filter((step) => !text.includes(bare(set(step.text)).slice(0, 20)));
    count.hold(`${sheet}: has the steps`, steps.length === 0, steps.map((step) => step.text).join('; '));
    const told = [PRICE, '987,65', 'EUR', '€', '210000117'].filter((words) => text.includes(words));
    count.hold(`${sheet}: tells no price and no phone`, told.length === 0, told.join(', '));
  }
}

function checkPaper(sheet, [wide, high], sizes, pages, most = MOST_PAGES) {
  count.hold(`${sheet}: at most ${most} pages`, sizes.length > 0 && sizes.length <= most, `${sizes.length} pages`);
  const right = sizes.every(([w, h]) => Math.abs(w - wide) < 1.5 && Math.abs(h - high) < 1.5);
  count.hold(`${sheet}: on its paper`, right, sizes.map((s) => s.join(' × ')).join('; '));
  // A further page may hold the blank figures for pins and little else; the head row alone is fewer than 80.
  const least = most === MOST_PAGES ? 200 : 120;
  count.hold(`${sheet}: no page is bare`, pages.every((words) => bare(words).length > least), pages.map((words) => bare(words).length).join());
}

/** A lay on its side: its paper, whose it is on each sheet, the ruler, the names; a long one on two sheets. */
async function lays(page, folder) {
  for (const shop of SHOPS) {
    await inFolder((data) => serve(['serve', '--data', data, '--port', '0'], async (address) => {
      const hours = Object.fromEntries([6, 6, 6, 6, 6, 4, 0].map((value, day) => [`hours.${day}`, String(value)]));
      await post(address, '/shop/open', { shop_name: 'Ropewalk Sewing Room', showing: shop.unit, currency: 'EUR', ...hours });
      const client = await post(address, '/clients', { name: shop.name, wearer: 'woman', phone: PHONE });
      await post(address, `${client}/fitting`, { 'm.bust_girth': shop.bust, 'm.waist_girth': shop.waist, 'm.hip_girth': shop.hip, day: today(), source: 'tape' });
      const narrow = shop.unit === 'millimetres' ? '80' : '32';
      for (const [style, width, least] of [['straight_skirt', shop.width, 1], ['wrap_skirt', shop.width, 1], ['wrap_skirt', narrow, 2]]) {
        const draft = drafted(style, shop.words);
        const order = await post(address, '/orders', {
          client: client.split('/').at(-1), style, what: 'Sunday best', price: PRICE, promised: '2099-05-30', fittings: '1', width,
        });
        for (const [paper, [wide, high]] of Object.entries(PAPERS)) {
          const sheet = `lay of ${style} at ${width}, ${shop.unit}, ${paper}`;
          const { sizes, pages, bare: text, file } = await printed(page, `${address}${order}/A/lay?paper=${paper}`, folder);
          const cut = beyond(file);
          count.hold(`${sheet}: no word is cut by an edge`, cut.length === 0, cut.join(' '));
          count.hold(`${sheet}: at least ${least} sheets`, sizes.length >= least && sizes.length < 6, sizes.length);
          // On its side: as wide as the paper is high.
          const right = sizes.every(([w, h]) => Math.abs(w - high) < 1.5 && Math.abs(h - wide) < 1.5);
          count.hold(`${sheet}: on its paper, turned`, right, sizes.map((s) => s.join(' × ')).join('; '));
          const heads = pages.filter((words) => bare(words).includes(bare(shop.name).slice(0, 12)));
          count.hold(`${sheet}: each sheet says whose it is`, heads.length === pages.length, `${heads.length} of ${pages.length}`);
          const unit = shop.unit === 'millimetres' ? 'cm' : 'in';
          const ruled = pages.filter((words) => (words.match(new RegExp(`\\b\\d+ ${unit}\\b`, 'g')) ?? []).length >= 2);
          count.hold(`${sheet}: each sheet has the ruler’s figures`, ruled.length === pages.length, `${ruled.length} of ${pages.length}`);
          const missing = draft.pieces.filter((piece) => piece.cloth === 'main' && !text.includes(bare(piece.label)));
          count.hold(`${sheet}: names its pieces`, missing.length === 0, missing.map((piece) => piece.label).join(', '));
          count.hold(`${sheet}: says what to cut off`, text.includes('Cutoff') && text.includes('buy'), text.slice(0, 200));
          count.hold(`${sheet}: tells no price and no phone`, ![PRICE, '210000117'].some((words) => text.includes(words)));
        }
      }
      // The garments of all three on one cloth: their names are the longest, and the lay goes on over a sheet's edge.
      const year = new Date().getFullYear();
      const together = [1, 2, 3].map((n) => `g=${year}-${String(n).padStart(4, '0')}/A`).join('&');
      for (const paper of Object.keys(PAPERS)) {
        const joint = await printed(page, `${address}/cloth/joint/lay?${together}&width=${shop.width}&paper=${paper}`, folder);
        const cut = beyond(joint.file);
        count.hold(`joint lay, ${shop.unit}, ${paper}: no word is cut by an edge`, joint.sizes.length > 0 && cut.length === 0, cut.join(' '));
        count.hold(`joint lay, ${shop.unit}, ${paper}: each garment’s pieces are named`, ['1A', '2A', '3A'].every((letter) => joint.bare.includes(letter)));
      }
    }));
  }
}

/** Garments of the demo: whatever an invented year brought, still two pages and no money. */
async function demoSheets(page, folder) {
  await serve(['demo', '--port', '0'], async (address) => {
    const list = await (await fetch(`${address}/orders`)).text();
    const orders = [...new Set([...list.matchAll(/href="(\/orders\/\d{4}-\d{4})/g)].map((found) => found[1]))];
    count.hold('the demo has orders', orders.length > 5, orders.length);
    const step = Math.max(1, Math.floor(orders.length / 8));
    for (const [n, order] of orders.filter((_, at) => at % step === 0).slice(0, 8).entries()) {
      const words = await (await fetch(address + order)).text();
      const sheets = [...new Set([...words.matchAll(/href="(\/orders\/[^"]+\/sheet)"/g)].map((found) => found[1]))];
      const client = words.match(/<dt>Client<\/dt><dd><a href="(\/clients\/\d+)"/)?.[1];
      const phone = client && (await (await fetch(address + client)).text()).match(/href="tel:([^"]+)"/)?.[1];
      const paper = Object.keys(PAPERS)[n % 2];
      for (const at of sheets.slice(0, 1)) await count.part(`${at} on ${paper}`, async () => {
        const { sizes, pages, bare: text } = await printed(page, `${address}${at}?paper=${paper}`, folder);
        checkPaper(`${at} of the demo`, PAPERS[paper], sizes, pages);
        const digits = phone ? decodeURIComponent(phone).replace(/\D/g, '').slice(-7) : null;
        if (digits) count.hold(`${at} of the demo: no phone`, !text.replace(/\D/g, '').includes(digits), phone);
      });
    }
  });
}

/** The shopping list of the demo: each cloth with its garments, on its paper, no controls and no phone. */
async function shopping(page, folder) {
  await serve(['demo', '--port', '0'], async (address) => {
    for (const [paper, [wide, high]] of Object.entries(PAPERS)) await count.part(`shopping list on ${paper}`, async () => {
      const { sizes, pages, bare: text } = await printed(page, `${address}/cloth/shopping?paper=${paper}`, folder);
      const right = sizes.every(([w, h]) => Math.abs(w - wide) < 1.5 && Math.abs(h - high) < 1.5);
      count.hold(`shopping list on ${paper}: on its paper`, sizes.length > 0 && right, sizes.map((s) => s.join(' × ')).join('; '));
      count.hold(`shopping list on ${paper}: no page is bare`, pages.every((words) => bare(words).length > 100), pages.map((words) => bare(words).length).join());
      // What stands on the screen stands on the paper, but for what only a screen can do.
      // The heads of the columns are for screen readers alone.
      const groups = await page.locator('.bought').evaluateAll((all) => all.map((group) =>
        [...group.querySelectorAll('h2, h3, p, tbody tr')].map((one) => one.innerText).join('\n')));
      const lost = groups.flatMap((group) => group.split(/[\n\t]+/)).filter((words) => words.trim() && !text.includes(bare(words)));
      count.hold(`shopping list on ${paper}: has every cloth and garment`, groups.length > 1 && lost.length === 0, `${groups.length} groups, without ${lost.join('; ')}`);
      const controls = ['Print this page', 'To the page', 'Style book'].filter((words) => text.includes(bare(words)));
      count.hold(`shopping list on ${paper}: no controls`, controls.length === 0, controls.join());
    });
    // Long enough for three sheets, no group of its own is torn.
    await page.evaluate(() => {
      const list = document.querySelector('.shopping');
      const group = list.querySelector('.bought');
      list.replaceChildren(...Array.from({ length: 60 }, () => group.cloneNode(true)));
    });
    const file = join(folder, 'long.pdf');
    writeFileSync(file, await page.pdf({ preferCSSPageSize: true }));
    const leaves = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' }).split('\f').filter((leaf) => bare(leaf).length > 0);
    const name = bare(await page.locator('.bought h2').first().innerText());
    const mark = bare(await page.locator('.bought .wants a').first().innerText());
    const torn = leaves.filter((leaf) => bare(leaf).split(name).length !== bare(leaf).split(mark).length);
    count.hold('a long shopping list tears no cloth from its garments', leaves.length > 1 && torn.length === 0, `${torn.length} of ${leaves.length} leaves`);
  });
}

/** The checks themselves: a sheet made too long, and one with a price on it, are seen. */
async function seesFaults(page, folder) {
  await serve(['demo', '--port', '0'], async (address) => {
    const list = await (await fetch(`${address}/orders`)).text();
    const order = list.match(/href="(\/orders\/\d{4}-\d{4})/)[1];
    await page.goto(`${address}${order}/A/sheet?paper=a4`);
    await page.evaluate((price) => {
      const side = document.querySelector('.side');
      for (let n = 0; n < 200; n += 1) side.insertAdjacentHTML('beforeend', `<p>${price}</p>`);
    }, PRICE);
    const file = join(folder, 'spoilt.pdf');
    writeFileSync(file, await page.pdf({ preferCSSPageSize: true }));
    const pages = Number(execFileSync('pdfinfo', [file], { encoding: 'utf8' }).match(/Pages: +(\d+)/)[1]);
    count.hold('a sheet that runs over is seen', pages > MOST_PAGES, pages);
    count.hold('a price on paper is seen', bare(execFileSync('pdftotext', [file, '-'], { encoding: 'utf8' })).includes(PRICE));
  });
}

function today() {
  return new Date(Date.now() - 86_400_000).toISOString().slice(0, 10);
}

await inBrowser((browser) => inFolder(async (folder) => {
  const page = await browser.newPage();
  await count.part('sheets of our own shops', () => ownSheets(page, folder));
  await count.part('lays on paper', () => lays(page, folder));
  await count.part('sheets of the demo', () => demoSheets(page, folder));
  await count.part('the shopping list', () => shopping(page, folder));
  await count.part('spoilt sheets', () => seesFaults(page, folder));
}));
count.end();

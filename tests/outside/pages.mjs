// The pages in a real browser: a whole order with and without scripts, every link,
// and each kind of page at three widths, light and dark, read by axe.

import axe from 'axe-core';
import { Count, inBrowser, inFolder, serve, watched } from './workroom.mjs';

const WIDTHS = [390, 820, 1280];
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
// Pages of one kind that are looked at; their links are all followed.
/** So many addresses of one kind are asked for; the demo has hundreds of some. */
const MOST_OF_A_KIND = 40;
const OF_A_KIND = 2;

const count = new Count();

// --- one order, by the forms -----------------------------------------------------------

/** From an unopened shop to a garment collected; each step by what stands on the page. */
async function wholeJob(browser, address, scripts) {
  const how = scripts ? 'with scripts' : 'without scripts';
  const context = await browser.newContext({ javaScriptEnabled: scripts, viewport: { width: 390, height: 844 } });
  const { page, wrongs } = await watched(context, address);
  page.setDefaultTimeout(15_000);
  const says = async (what, words) => {
    const text = await page.locator('main').innerText();
    count.hold(`${how}: ${what}`, words.test(text), `no ${words} in “${text.slice(0, 300).replaceAll('\n', ' / ')}”`);
  };
  const press = async (name) => {
    await page.getByRole('button', { name, exact: true }).first().click();
    await page.waitForLoadState();
  };
  const follow = async (name) => {
    await page.getByRole('link', { name }).first().click();
    await page.waitForLoadState();
  };

  await page.goto(address);
  await says('an unopened shop asks its three questions', /Open the shop/);
  await page.getByLabel('Name of the shop').fill('Ropewalk Sewing Room');
  await page.getByLabel('Currency').fill('EUR');
  const shown = page.locator('input[name=showing]');
  count.hold(`${how}: the tape can be read in more than one way`, (await shown.count()) > 1);
  await page.locator('input[name=showing][value=eighths]').check();
  for (const [day, hours] of ['6', '6', '6', '6', '6', '4', '0'].entries()) await page.locator(`[name="hours.${day}"]`).fill(hours);
  await press('Open the shop');
  await says('the opened shop has no work', /No work is in the book/);

  // A slip first: an empty name comes back with a note and what was typed.
  await page.goto(`${address}/clients/new`);
  await page.getByLabel('Phone', { exact: true }).fill('+351 210 000 117');
  await page.locator('[name=name]').evaluate((field) => field.removeAttribute('required')).catch(() => {});
  await press('Keep');
  await says('a client without a name is not kept', /Not kept yet/);
  count.hold(`${how}: what was typed is still there`, (await page.getByLabel('Phone', { exact: true }).inputValue()) === '+351 210 000 117');
  wrongs.splice(0, wrongs.length, ...wrongs.filter((wrong) => !/422/.test(wrong)));
  await page.getByLabel('Name', { exact: true }).fill('Zoë Farrugia');
  await page.locator('select[name=wearer]').selectOption('woman');
  await press('Keep');
  await says('the client is in the book', /Zoë Farrugia/);

  await follow(/^Measure/);
  const measure = async (key, whole) => page.locator(`[name="m.${key}"]`).fill(whole);
  await measure('waist_girth', '29');
  await page.locator('label:has([name="e.waist_girth"][value="4"])').click();
  await measure('hip_girth', '38 1/4');
  await press('Keep these measures');
  await says('the measures stand on the client’s page', /29\s?½[\s\S]*38\s?¼/);

  await follow(/New order|Take an order/);
  await follow(/Wrap skirt/);
  await page.locator('[name=what]').fill('Market-day skirt');
  await page.locator('[name=price]').fill('140');
  await page.locator('[name=width]').fill('45');
  await page.locator('[name=deposit]').fill('50');
  await page.locator('[name=method]').fill('Cash');
  const promised = await page.locator('[name=promised]').inputValue();
  if (!promised) await page.locator('[name=promised]').fill(daysOn(35));
  await page.locator('select[name=fittings]').selectOption('1');
  await page.locator('main form button').last().click();
  await page.waitForLoadState();
  await says('the order has a number, a draft and a balance', /Zoë Farrugia[\s\S]*Waist line[\s\S]*(90[.,]00)/);
  await says('the working reads like a person’s', /29\s?½ ÷ 4 = 7\s?⅜/);
  const order = page.url().split('#')[0];

  const sheet = await page.goto(`${order}/A/sheet`);
  count.hold(`${how}: the job sheet opens`, sheet.status() === 200, sheet.status());
  await page.goto(order);
  for (const stage of ['The cloth is in', 'It is cut', 'It is tacked']) await press(stage);
  // What the fitting shows: half an inch out at the waist.
  await follow('Note corrections');
  await page.locator('[name="where.1"]').selectOption('waist_girth');
  await press('Keep these corrections');
  await says('a correction without a way and a length is not kept', /Not kept yet[\s\S]*Which way\?/);
  wrongs.splice(0, wrongs.length, ...wrongs.filter((wrong) => !/422/.test(wrong)));
  await page.locator('[name="way.1"][value=out]').check();
  await page.locator('label:has([name="e.much.1"][value="4"])').click();
  await press('Keep these corrections');
  await says('the cut garment is to be altered, not drafted anew', /To alter[\s\S]*Waist girth: let out\s?½ in[\s\S]*29\s?½ ÷ 4/);
  for (const stage of ['It is fitted', 'It is sewn', 'It is finished']) await press(stage);
  await says('the finished garment is on its way out', /Hand it over|finished/);
  await page.locator('[name=amount]').fill('90');
  await page.locator('select[name=kind]').selectOption('balance');
  await page.locator('form[action$="/payment"] [name=method]').fill('Cash');
  await press('Take it');
  await says('nothing is left to pay', /Balance\s+(EUR\s*)?0[.,]00/);
  await press('Hand it over');
  await says('the garment is collected', /collected/i);
  await page.locator('dl.facts a[href^="/clients/"]').first().click();
  await says('the correction stands on the client’s page', /Standing corrections[\s\S]*Waist girth: let out\s?½ in[\s\S]*Market-day skirt/);
  await page.goto(address);
  const today = await page.locator('main').innerText();
  count.hold(`${how}: Today no longer speaks of it`, !today.includes('Market-day skirt'), today.slice(0, 200));
  count.hold(`${how}: nothing went wrong on the way`, wrongs.length === 0, wrongs.slice(0, 5).join('; '));
  await context.close();
}

function daysOn(days) {
  return new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
}

// --- a style, edited ---------------------------------------------------------------------

/** The band of a style made deeper, with a slip on the way; tried, kept, compared, drafted for all. */
async function editing(browser, address, scripts) {
  const how = scripts ? 'with scripts' : 'without scripts';
  const context = await browser.newContext({ javaScriptEnabled: scripts, viewport: { width: 1280, height: 900 } });
  const { page, wrongs } = await watched(context, address);
  page.setDefaultTimeout(15_000);
  const box = page.locator('#text');
  const preview = page.locator('#preview');
  const press = async (name) => {
    await page.getByRole('button', { name, exact: true }).first().click();
    await page.waitForLoadState();
  };
  await page.goto(`${address}/styles/apron/edit`);
  const typed = await box.inputValue();
  const line = typed.split('\n').findIndex((text) => text.startsWith('half_bib =')) + 1;
  const spoilt = typed.replace("half_bib = 'min(bib_width / 2", "half_bib = 'min(bib_widht / 2");
  count.hold(`${how}: there is a line to spoil`, line > 0 && spoilt !== typed);

  await box.fill(spoilt);
  if (!scripts) await press('Preview');
  const fault = page.locator('#fault');
  await fault.waitFor();
  count.hold(`${how}: a slip is told at its line and column`, (await fault.innerText()).includes(`Line ${line}, column 17`), await fault.innerText());
  count.hold(`${how}: the nearest name is offered`, (await fault.innerText()).includes('bib_width'));
  count.hold(`${how}: what was typed stays`, (await box.inputValue()).includes('bib_widht'));
  count.hold(`${how}: a drawing stays beside a slip`, (await preview.locator('svg').count()) > 0);
  if (scripts) {
    await fault.getByRole('link').click();
    const at = await box.evaluate((text) => text.value.slice(text.selectionStart, text.selectionStart + 9));
    count.hold('the link at a slip puts the cursor there', at === 'bib_widht', at);
    await page.reload();
    await press('Put them back');
    count.hold('text that was not kept is still there after the page was left', (await box.inputValue()).includes('bib_widht'));
  }

  await box.fill(typed.replace("bib_height = { kind = 'length', default = '11 in'", "bib_height = { kind = 'length', default = '12 in'"));
  if (!scripts) await press('Preview');
  await preview.getByText('12 + 22 = 34').first().waitFor();
  count.hold(`${how}: no slip is left`, (await page.locator('#fault').count()) === 0);
  await page.locator('#who').fill('a');
  if (scripts) await page.locator('#who').press('Enter');
  else await press('Preview');
  await page.locator('fieldset.on input[type=radio]:not([value=usual]):not([value=small]):not([value=large])').first().waitFor();
  count.hold(`${how}: clients can be chosen`, (await page.locator('fieldset.on input[type=radio]').count()) > 4);
  await page.getByLabel('What is changed, and why').fill('higher bib');
  await page.getByRole('button', { name: /^Keep as version/ }).click();
  await page.waitForLoadState();
  count.hold(`${how}: what was kept is in use`, /Version 2 is in use/.test(await page.locator('main').innerText()), (await page.locator('main').innerText()).slice(0, 300));
  await page.getByRole('link', { name: 'Versions', exact: true }).click();
  count.hold(`${how}: the note stands beside the version`, (await page.locator('main').innerText()).includes('higher bib'));
  await press('Compare their drafts');
  const compared = await page.locator('main').innerText();
  count.hold(`${how}: the change is told`, /\+ 1 in/.test(compared), compared.slice(0, 400));
  await page.goto(`${address}/styles/apron/edit`);
  count.hold(`${how}: nothing unkept is offered after it was kept`, !(await page.locator('[data-unsent]').isVisible()));
  await page.goto(`${address}/styles/apron/everyone`);
  count.hold(`${how}: the style is drafted for all`, /Drafted, and every check holds/.test(await page.locator('main').innerText()));
  // More clients than one answer holds: a script goes on to the end, else there is a way further.
  for (let client = 0; client < 420; client += 1) {
    await fetch(`${address}/clients`, {
      method: 'POST', redirect: 'manual', headers: { origin: address }, body: new URLSearchParams({ name: `Client ${client}` }),
    });
  }
  await page.goto(`${address}/styles/apron/everyone`);
  if (scripts) await page.getByText(/^All \d+ clients\.$/).waitFor();
  else await page.getByRole('link', { name: 'The next 400' }).click();
  const tried = (await page.locator('[data-sum]:not([data-sum=assumed])').allInnerTexts()).map(Number).reduce((sum, each) => sum + each, 0);
  const all = Number(await page.locator('[data-everyone]').getAttribute('data-all'));
  count.hold(`${how}: every client is tried`, all > 420 && tried === (scripts ? all : all - 400), `${tried} of ${all}`);
  count.hold(`${how}: nothing went wrong while editing`, wrongs.length === 0, wrongs.slice(0, 5).join('; '));
  await context.close();
}

// --- the shop's cloth --------------------------------------------------------------------

/** A cloth written down, a length in, some of it out, a garment cut from the shelf, the list. */
async function shelf(browser, address, scripts) {
  const how = `the shelf ${scripts ? 'with' : 'without'} scripts`;
  const context = await browser.newContext({ javaScriptEnabled: scripts, viewport: { width: 390, height: 844 } });
  const { page, wrongs } = await watched(context, address);
  page.setDefaultTimeout(15_000);
  const says = async (what, words) => {
    const text = await page.locator('main').innerText();
    count.hold(`${how}: ${what}`, words.test(text), `no ${words} in “${text.slice(0, 300).replaceAll('\n', ' / ')}”`);
  };
  const press = async (name) => {
    await page.getByRole('button', { name, exact: true }).first().click();
    await page.waitForLoadState();
  };
  await page.goto(`${address}/cloth`);
  await says('the demo has cloths', /\d cloths/);
  await page.getByRole('link', { name: 'New cloth' }).click();
  await page.getByLabel('Name', { exact: true }).fill('Harbour stripe, blue');
  await page.getByLabel('Width', { exact: true }).fill('2');
  await press('Keep');
  await says('a ribbon is no cloth', /Not kept yet[\s\S]*is not woven/);
  wrongs.splice(0, wrongs.length, ...wrongs.filter((wrong) => !/422/.test(wrong)));
  count.hold(`${how}: what was typed is still there`, (await page.getByLabel('Name', { exact: true }).inputValue()) === 'Harbour stripe, blue');
  await page.getByLabel('Width', { exact: true }).fill('45');
  await page.getByLabel('Repeat across').fill('1 1/2');
  await press('Keep');
  await says('the cloth has its page', /Harbour stripe, blue[\s\S]*Nothing of it lies there/);
  const cloth = page.url();
  await page.getByLabel('How long it is', { exact: true }).fill('6 1/2');
  await page.getByLabel('Where it lies').fill('shelf 9');
  await press('It is here');
  await says('the length lies there', /6 yd 18 in/);
  await page.getByText('Measure again, take out, note').click();
  await page.getByLabel('How much goes').fill('9');
  await press('Take it out');
  await says('no more goes than is there', /9 yd cannot go: this length is 6 yd 18 in/);
  wrongs.splice(0, wrongs.length, ...wrongs.filter((wrong) => !/422/.test(wrong)));
  await page.getByLabel('How much goes').fill('1/2');
  await press('Take it out');
  await says('why it goes is asked for', /To whom does it go, or why\?/);
  wrongs.splice(0, wrongs.length, ...wrongs.filter((wrong) => !/422/.test(wrong)));
  await page.getByLabel('To whom, or why').fill('a sample for the quay');
  await press('Take it out');
  await says('what went is told', /6 yd[\s\S]*−18 in given away[\s\S]*a sample for the quay/);

  // A garment that is not cut yet is to be cut from it.
  await page.goto(`${address}/cloth/shopping`);
  await says('the list says when it was worked out', /Worked out .*for \d+ garments still to be cut/);
  const garment = await page.locator('.wants a').first().getAttribute('href');
  await page.goto(address + garment.replace('/cloth', '/edit'));
  await page.locator('select[name=stock]').selectOption({ label: 'Harbour stripe, blue' });
  await page.locator('[name=cloth]').fill('');
  await page.locator('[name=length]').fill('');
  await press('Keep');
  await says('the garment is of the shelf', /From the shelf\s+Harbour stripe, blue/);
  await page.goto(`${address}/cloth/shopping`);
  await says('the list counts on the shelf', /Harbour stripe, blue[\s\S]*6 yd there[\s\S]*lies there/);
  await page.goto(cloth);
  await says('the cloth says what is cut from it', /To be cut from it/);
  count.hold(`${how}: nothing went wrong`, wrongs.length === 0, wrongs.slice(0, 5).join('; '));
  await context.close();
}

// --- a lay, tried shorter --------------------------------------------------------------

/** The first garment of the demo that may still be laid. */
async function toBeLaid(address) {
  const list = await (await fetch(`${address}/orders`)).text();
  for (const [, order] of new Set([...list.matchAll(/href="(\/orders\/\d{4}-\d{4})/g)].map((found) => found[1])).entries()) {
    const cloth = `${order}/A/cloth`;
    const page = await (await fetch(address + cloth)).text();
    if (page.includes('>Keep trying<')) return cloth;
  }
  throw new Error('no garment of the demo waits to be laid');
}

/** Tried, seen to go on, stopped, accepted, and laid anew. */
async function shorter(browser, address, scripts) {
  const how = scripts ? 'with scripts' : 'without scripts';
  const context = await browser.newContext({ javaScriptEnabled: scripts, viewport: { width: 820, height: 900 } });
  const { page, wrongs } = await watched(context, address);
  page.setDefaultTimeout(60_000);
  const cloth = await toBeLaid(address);
  const press = async (name) => {
    await page.getByRole('button', { name, exact: true }).first().click();
    await page.waitForLoadState();
  };
  const main = () => page.locator('main').innerText();
  await page.goto(address + cloth);
  await press('Keep trying');
  count.hold(`${how}: the search has a page of its own`, page.url().endsWith('/trying'), page.url());
  // The seconds move by themselves, whether a stream tells them or the page comes anew.
  const doing = page.locator('[data-told=doing]');
  const before = await doing.innerText();
  let now = before;
  for (let waited = 0; waited < 60 && now === before; waited += 1) {
    await page.waitForTimeout(500);
    now = (await doing.innerText().catch(() => before)) || before;
  }
  count.hold(`${how}: the page goes on by itself`, now !== before && /of 2 min/.test(now), `${before} → ${now}`);
  count.hold(`${how}: the lay is seen meanwhile`, await page.locator('[data-picture]').isVisible());
  await press('Stop');
  await page.getByText('Stopped.').waitFor();
  count.hold(`${how}: a stopped search says so and can go on`, /Keep trying/.test(await main()), (await main()).slice(0, 300));
  const length = await page.locator('[data-told=length]').innerText();
  await press('Accept this lay');
  count.hold(`${how}: an accepted lay says who and when`, /Accepted by .+, .+\d\d:\d\d/.test(await main()), (await main()).slice(0, 600));
  count.hold(`${how}: it is the lay that was shown`, (await main()).includes(length), length);
  await page.goto(address + cloth.replace('/A/cloth', ''));
  count.hold(`${how}: the order says so, too`, /Accepted by/.test(await main()));
  await page.goto(address + cloth);
  await press('Lay it anew');
  count.hold(`${how}: one tap, and it is laid anew`, !/Accepted by/.test(await main()));
  count.hold(`${how}: nothing went wrong on the way to a lay`, wrongs.length === 0, wrongs.slice(0, 5).join('; '));
  await context.close();
}

/** A joint lay of two garments, refused while a width is written otherwise, accepted, told on the order, laid anew. */
async function together(browser, address, scripts) {
  const how = `a joint lay ${scripts ? 'with' : 'without'} scripts`;
  const context = await browser.newContext({ javaScriptEnabled: scripts, viewport: { width: 390, height: 844 } });
  const { page, wrongs } = await watched(context, address);
  page.setDefaultTimeout(60_000);
  const main = () => page.locator('main').innerText();
  const press = async (name) => {
    await page.getByRole('button', { name, exact: true }).first().click();
    await page.waitForLoadState();
  };
  await page.goto(`${address}/cloth/joint`);
  const boxes = page.locator('input[name=g]');
  const garments = (await boxes.evaluateAll((all) => all.map((box) => box.value))).slice(-2);
  for (const garment of garments) await page.locator(`input[name=g][value="${garment}"]`).check();
  await page.locator('#width').fill('50');
  await press('Lay them together');
  count.hold(`${how}: two are laid`, /2 garments from one cloth: buy/.test(await main()), (await main()).slice(0, 300));
  const joint = page.url();
  count.hold(`${how}: it waits for the widths`, /accepted once the width is written alike/.test(await main()), (await main()).slice(0, 900));
  for (const garment of garments) {
    await page.goto(`${address}/orders/${garment}/edit`);
    await page.locator('[name=width]').fill('50');
    await press('Keep');
  }
  await page.goto(joint);
  await press('Accept this lay');
  count.hold(`${how}: an accepted lay says who and when`, /Accepted by .+, .+\d\d:\d\d/.test(await main()), (await main()).slice(0, 600));
  await page.goto(`${address}/orders/${garments[0].split('/')[0]}`);
  count.hold(`${how}: the order says with what it is cut`, /in one lay/i.test(await main()), (await main()).slice(0, 900));
  await page.goto(joint);
  await press('Lay it anew');
  count.hold(`${how}: one tap, and it is laid anew`, !/Accepted by/.test(await main()));
  count.hold(`${how}: nothing went wrong`, wrongs.length === 0, wrongs.slice(0, 5).join('; '));
  await context.close();
  return joint;
}

/** A style with two versions, so that there is something to compare and to offer to open orders. */
async function secondVersion(address) {
  const style = `${address}/styles/wrap_skirt`;
  const text = await (await fetch(`${style}/file`)).text();
  const [, version] = (await (await fetch(`${style}/edit`)).text()).match(/name="version" value="(\d+)"/);
  const fields = { do: 'keep', version, text: `${text}\n# Looked through.\n`, note: 'looked through' };
  const kept = await fetch(`${style}/edit`, { method: 'POST', redirect: 'manual', headers: { origin: address }, body: new URLSearchParams(fields) });
  count.hold('a second version is kept', kept.status === 303, kept.status);
}

// --- every page of a full shop ---------------------------------------------------------

/** Follows every link by plain requests; gives the addresses of pages, by kind. */
async function everyLink(address) {
  const seen = new Map([['/', 'the first page']]);
  const queue = ['/'];
  const kinds = new Map();
  const bad = [];
  const asked = new Map();
  while (queue.length > 0) {
    const next = queue.splice(0, 6);
    await Promise.all(next.map(async (path) => {
      // Pages that lay cloth take their time: of each kind enough are asked, not all.
      const times = (asked.get(kindOf(path)) ?? 0) + 1;
      asked.set(kindOf(path), times);
      if (times > MOST_OF_A_KIND) return;
      const answer = await fetch(address + path, { redirect: 'manual' });
      if (answer.status !== 200) bad.push(`${answer.status} ${path} (from ${seen.get(path)})`);
      const type = answer.headers.get('content-type') ?? '';
      const text = await answer.text();
      if (!type.startsWith('text/html') || answer.status !== 200) return;
      if (!answer.headers.get('content-security-policy')?.includes("default-src 'none'")) bad.push(`no policy on ${path}`);
      const kind = kindOf(path);
      kinds.set(kind, [...(kinds.get(kind) ?? []), path]);
      for (const [, , to] of text.matchAll(/\s(href|src)="([^"]+)"/g)) {
        const url = new URL(to.replaceAll('&amp;', '&').replaceAll('&#38;', '&'), address + path);
        if (url.origin !== address) continue;
        const found = url.pathname + url.search;
        if (!seen.has(found)) {
          seen.set(found, path);
          queue.push(found);
        }
      }
    }));
  }
  count.hold('every link of the shop answers 200', bad.length === 0, `${bad.length} do not: ${bad.slice(0, 5).join('; ')}`);
  count.hold('the shop is full of pages', seen.size > 200, `${seen.size} addresses`);
  console.log(`${seen.size} addresses, ${kinds.size} kinds of pages`);
  return kinds;
}

// The kind of /orders/2026-0012/A/sheet?paper=a4 is /orders/N/N/sheet?paper.
function kindOf(path) {
  const url = new URL(path, 'http://here');
  const steps = url.pathname.split('/').map((step) => (/\d/.test(step) || /^[A-Z]$/.test(step) ? 'N' : step));
  if (steps[1] === 'styles' && steps[2] && !['guide', 'import'].includes(steps[2])) steps[2] = 'N';
  return steps.join('/') + (url.search ? `?${[...url.searchParams.keys()].sort().join('&')}` : '');
}

/** Each kind of page at each width: axe, errors, sideways scrolling; dark at one width too. */
async function everyKind(browser, address, kinds) {
  for (const [width, scheme] of [...WIDTHS.map((width) => [width, 'light']), [820, 'dark']]) {
    const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme: scheme, reducedMotion: 'reduce' });
    const { page, wrongs } = await watched(context, address);
    for (const [kind, paths] of [...kinds].sort()) {
      for (const path of spread(paths)) await count.part(`${path} at ${width} px`, async () => {
        wrongs.length = 0;
        await page.goto(address + path, { waitUntil: 'load' });
        // Folded parts hold forms that axe should read as well.
        await page.evaluate(() => document.querySelectorAll('details').forEach((part) => part.setAttribute('open', '')));
        const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        count.hold(`${kind} does not scroll sideways at ${width} px`, sideways <= 0, `${path} by ${sideways} px`);
        await page.evaluate(axe.source);
        const found = await page.evaluate((rules) => window.axe.run(document, { runOnly: rules }), RULES);
        const faults = found.violations.map((fault) => `${fault.id}: ${fault.nodes.slice(0, 2).map((node) => node.html.slice(0, 120)).join(' ')}`);
        count.hold(`${kind} is clean for axe at ${width} px, ${scheme}`, faults.length === 0, `${path}: ${faults.join('; ')}`);
        count.hold(`${kind} opens without errors at ${width} px, ${scheme}`, wrongs.length === 0, `${path}: ${wrongs.join('; ')}`);
      });
    }
    await context.close();
  }
}

/** A few of a kind: the first and the last that was found. */
function spread(paths) {
  return [...new Set([paths[0], paths[paths.length - 1]])].slice(0, OF_A_KIND);
}

// --- the checks themselves ---------------------------------------------------------------

/** A page spoilt in each way is seen to be. */
async function seesFaults(browser, address) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const { page, wrongs } = await watched(context, address);
  await page.goto(address);
  await page.evaluate(() => {
    const style = document.createElement('style');
    style.textContent = 'p{}';
    document.head.append(style);
  });
  count.hold('an inline style is seen', wrongs.some((wrong) => /Content Security Policy/.test(wrong)), wrongs.join('; '));
  await page.goto(`${address}/no/such/page`);
  count.hold('a page that is not there is seen', wrongs.some((wrong) => wrong.startsWith('404')), wrongs.join('; '));
  await page.goto(address);
  await page.evaluate(() => {
    document.querySelector('main').insertAdjacentHTML('beforeend', '<input type="text"><svg width="900" height="9"></svg>');
  });
  const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  count.hold('a page that is too wide is seen', sideways > 0, sideways);
  await page.evaluate(axe.source);
  const found = await page.evaluate((rules) => window.axe.run(document, { runOnly: rules }), RULES);
  count.hold('a field without a label is seen', found.violations.some((fault) => fault.id === 'label'));
  await context.close();
}

await inBrowser(async (browser) => {
  for (const scripts of [false, true]) {
    await count.part(`the whole job ${scripts ? 'with' : 'without'} scripts`, () =>
      inFolder((folder) => serve(['serve', '--data', folder, '--port', '0'], (address) => wholeJob(browser, address, scripts))));
  }
  for (const scripts of [false, true]) {
    await count.part(`a style edited ${scripts ? 'with' : 'without'} scripts`, () =>
      serve(['demo', '--port', '0'], (address) => editing(browser, address, scripts)));
  }
  for (const scripts of [false, true]) {
    await count.part(`the shelf ${scripts ? 'with' : 'without'} scripts`, () =>
      serve(['demo', '--port', '0'], (address) => shelf(browser, address, scripts)));
  }
  for (const scripts of [false, true]) {
    await count.part(`a lay tried shorter ${scripts ? 'with' : 'without'} scripts`, () =>
      serve(['demo', '--port', '0'], (address) => shorter(browser, address, scripts)));
  }
  let joint = '';
  for (const scripts of [false, true]) {
    await count.part(`a joint lay ${scripts ? 'with' : 'without'} scripts`, () =>
      serve(['demo', '--port', '0'], async (address) => {
        joint = (await together(browser, address, scripts)).replace(address, '');
      }));
  }
  await count.part('a full shop', () => serve(['demo', '--port', '0'], async (address) => {
    await secondVersion(address);
    const kinds = await everyLink(address);
    kinds.set('a joint lay of two', [joint]);
    await everyKind(browser, address, kinds);
    await seesFaults(browser, address);
  }));
});
count.end();

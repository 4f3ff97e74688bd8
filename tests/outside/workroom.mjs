// What the browser checks share: a server of their own, a browser, and a count.

import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

export const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
export const BODKIN = resolve(process.env.BODKIN ?? join(ROOT, 'target/release/bodkin'));

/** Counts what held and what did not; the last line is the one that tests/run adds up. */
export class Count {
  passed = 0;
  failed = 0;

  hold(what, truth, found = '') {
    if (truth) {
      this.passed += 1;
      if (process.argv.includes('-v')) console.log(`  ok ${what}`);
    } else {
      this.failed += 1;
      console.log(`FAILED ${what}${found === '' ? '' : `: ${found}`}`);
    }
    return Boolean(truth);
  }

  /** Runs a part; what it throws is a failure with its name. */
  async part(what, doing) {
    try {
      await doing();
    } catch (error) {
      this.hold(what, false, String(error.stack ?? error).split('\n').slice(0, 6).join(' | '));
    }
  }

  end() {
    console.log(`${this.passed} passed, ${this.failed} failed`);
    process.exitCode = this.failed === 0 && this.passed > 0 ? 0 : 1;
  }
}

/** A folder that is gone when `doing` is done. */
export async function inFolder(doing) {
  const folder = mkdtempSync(join(tmpdir(), 'bodkin-outside-'));
  try {
    return await doing(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Starts bodkin with these words; gives the address from its first line of output. */
export async function serve(words, doing) {
  if (!existsSync(BODKIN)) throw new Error('bodkin is not built: cargo build --release');
  const server = spawn(BODKIN, words, { stdio: ['ignore', 'pipe', 'inherit'] });
  const gone = new Promise((over) => server.once('exit', over));
  const stop = () => server.kill('SIGKILL');
  process.once('exit', stop);
  try {
    const address = await new Promise((found, fail) => {
      let said = '';
      server.stdout.on('data', (bytes) => {
        said += bytes;
        const at = said.match(/http:\/\/[^\s/]+/);
        if (at) found(at[0]);
      });
      server.once('exit', (code) => fail(new Error(`bodkin ${words.join(' ')} ended with ${code}: ${said}`)));
      setTimeout(() => fail(new Error(`bodkin said no address in 60 s: ${said}`)), 60_000).unref();
    });
    return await doing(address);
  } finally {
    server.kill('SIGINT');
    await Promise.race([gone, new Promise((late) => setTimeout(late, 5_000).unref())]);
    stop();
    process.off('exit', stop);
  }
}

// Stopped from outside, no server is left behind.
for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => process.exit(1));

/** A headless browser that asks nobody but the page it is given. */
export async function inBrowser(doing) {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
      '--disable-component-update', '--disable-sync',
    ],
  });
  try {
    return await doing(browser);
  } finally {
    await browser.close();
  }
}

/** A page that writes down what goes wrong on it: errors, blocked content, failed or foreign requests. */
export async function watched(context, address) {
  const page = await context.newPage();
  const wrongs = [];
  page.on('console', (line) => {
    if (['error', 'warning'].includes(line.type())) wrongs.push(`console: ${line.text()}`);
  });
  page.on('pageerror', (error) => wrongs.push(`script: ${error.message}`));
  page.on('request', (request) => {
    if (!request.url().startsWith(address) && !request.url().startsWith('data:')) wrongs.push(`asks ${request.url()}`);
  });
  page.on('response', (answer) => {
    if (answer.status() >= 400) wrongs.push(`${answer.status()} ${answer.url()}`);
  });
  page.on('requestfailed', (request) => {
    // A page that is left drops the pictures that it was still fetching.
    if (request.failure()?.errorText !== 'net::ERR_ABORTED') wrongs.push(`${request.failure()?.errorText} ${request.url()}`);
  });
  return { page, wrongs };
}

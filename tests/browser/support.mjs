// Starts the program as a person would, and a browser beside it.
import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const PROGRAM = process.env.GAUGEGLASS;
if (!PROGRAM) throw new Error('GAUGEGLASS must name the program to be tested');

const FLAGS = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
];

/** The program on a new data folder and a free port. */
export async function serve(folder) {
  const own = folder ?? (await mkdtemp(join(tmpdir(), 'gaugeglass-')));
  const child = spawn(PROGRAM, ['--data', own, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await new Promise((found, failed) => {
    let out = '';
    child.stdout.on('data', (bytes) => {
      out += bytes;
      const said = out.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (said) found(said[0]);
    });
    child.on('exit', (code) => failed(new Error(`the program ended with ${code}: ${out}`)));
  });
  let ended;
  return {
    address,
    folder: own,
    /** Asks it to stop and answers its exit status. */
    stop() {
      ended ??= new Promise((done) => {
        child.removeAllListeners('exit');
        child.on('exit', done);
        child.kill('SIGTERM');
      });
      return ended;
    },
    /** Throws the data folder away. */
    forget: () => rm(own, { recursive: true, force: true }),
  };
}

/** A browser; every page in it fails the test when it logs an error or asks anything off this machine. */
export async function browse() {
  const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: FLAGS });
  const faults = [];
  return {
    faults,
    async page({ width = 1280, height = 844, javaScriptEnabled = true, ...more } = {}) {
      const context = await browser.newContext({ viewport: { width, height }, javaScriptEnabled, ...more });
      context.setDefaultTimeout(10_000);
      const page = await context.newPage();
      page.on('console', (said) => {
        const expected = /status of (409|422|404)/.test(said.text());
        if (said.type() === 'error' && !expected) faults.push(`${page.url()}: ${said.text()}`);
      });
      page.on('pageerror', (error) => faults.push(`${page.url()}: ${error}`));
      page.on('request', (request) => {
        if (!/^(http:\/\/127\.0\.0\.1:|data:|blob:)/.test(request.url())) faults.push(`asked ${request.url()}`);
      });
      return page;
    },
    stop: () => browser.close(),
  };
}

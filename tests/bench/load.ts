// Whether the program holds under many people at once: readers and writers at a ledger of its own over real connections, with plans made
// meanwhile. Tells how long it took to start, errors, how long answers took, and how memory went.

import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { type IncomingMessage, request } from 'node:http';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { parseHTML } from 'linkedom';
import { chanceOf } from '../support/make.ts';
import { LEDGERS, ledgerFile } from './ledgers.ts';

const root = join(import.meta.dirname, '../..');

// What `npm start` runs after the name of Node.
const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: { start: string } };
const command = scripts.start.split(' ').slice(1);

// Ends the program with 99 should it call out to anybody.
const callsNobody = new URL('../support/no-outbound.mjs', import.meta.url).href;

/** What a run under load is made of; the pause is the mean between an answer and the next request of the same client, in milliseconds. */
export type LoadTask = { file: string; seconds: number; readers: number; writers: number; pause: number };

/** What came of it. `memory` is the whole program's, in megabytes, a second apart; the slope is in megabytes a minute after a third of the run. */
export type LoadResult = {
  /** Milliseconds from the begin of the command to its first page, by the clock and of the processor; NaN where the latter cannot be told. */
  start: { clock: number; processor: number };
  pages: number;
  changes: number;
  plans: number;
  /** How many pages were asked for again since a kept connection was closed under the request. */
  repeated: number;
  errors: string[];
  milliseconds: { median: number; p99: number; most: number };
  memory: number[];
  slope: number;
  exitCode: number | null;
};

/** Puts the program under load on a copy of a ledger's file. */
export async function runLoad({ file, seconds, readers, writers, pause }: LoadTask): Promise<LoadResult> {
  const folder = mkdtempSync(join(tmpdir(), 'load-'));
  copyFileSync(file, join(folder, 'ledger.sqlite'));
  const begun = performance.now();
  const { program, url } = await startProgram(folder);
  const chance = chanceOf(1);
  const taken: number[] = [];
  const errors: string[] = [];
  const memory: number[] = [];
  let [pages, changes, plans, repeated] = [0, 0, 0, 0];
  const rest = () => new Promise((resolve) => setTimeout(resolve, -Math.log(1 - chance.number(0, 0.999)) * pause));

  async function ask(path: string, fields?: Record<string, string>): Promise<string | null> {
    const start = performance.now();
    try {
      const { status, body } = fields === undefined ? await readAt(path) : await sendForm(url + path, url, fields);
      taken.push(performance.now() - start);
      if (status !== (fields === undefined ? 200 : 303)) errors.push(`${status} ${path}`);
      return body;
    } catch (problem) {
      errors.push(`${problem instanceof Error ? (problem.cause ?? problem.message) : problem} ${path}`);
      return null;
    }
  }
  // A connection that was kept may be closed by the program just as it is used again. A browser then asks for the page once more on a new
  // one, and so does this; a second failure is an error.
  async function readAt(path: string): Promise<{ status: number; body: string }> {
    const once = async () => {
      const answer = await fetch(url + path, { redirect: 'manual' });
      return { status: answer.status, body: await answer.text() };
    };
    try {
      return await once();
    } catch (problem) {
      if (!wasClosed(problem)) throw problem;
      repeated += 1;
      return once();
    }
  }
  const home = await ask('/');
  const start = { clock: performance.now() - begun, processor: processorMilliseconds(program.pid!) };
  const addresses = linksIn([home, await ask('/enclosures'), await ask('/animals'), await ask('/upgrades')]);
  const forms = addresses
    .filter((one) => /^\/enclosures\/\d+$/.test(one))
    .map((one) => `${one}/readings/new?kind=night-air`);
  if (addresses.length < 10 || forms.length === 0)
    throw new Error('there is too little in the ledger to put under load');
  taken.length = 0;
  // Counted from here: what is worked out once, at the first opening of a page, is no part of it.
  const until = performance.now() + seconds * 1000;
  const isOver = () => performance.now() > until;

  // Each client does its work once at least, however slow the machine.
  async function read(): Promise<void> {
    do {
      if ((await ask(chance.pick(addresses))) !== null) pages += 1;
      await rest();
    } while (!isOver());
  }
  async function write(): Promise<void> {
    do {
      const path = chance.pick(forms);
      const page = await ask(path);
      if (page !== null) {
        const { action, fields } = formOf(page);
        const celsius = Math.round(10 * chance.number(15, 24)) / 10;
        const typed = { value: `${celsius} °C`, hour: '14', room: '20 °C', instrument: 'Probe', accuracy: '' };
        if ((await ask(action, { ...fields, ...typed })) !== null) changes += 1;
      }
      await rest();
    } while (!isOver());
  }
  async function plan(): Promise<void> {
    do {
      if ((await ask('/roadmap/plan', {})) !== null) plans += 1;
      for (let waited = 0; waited < 15 && !isOver(); waited += 1)
        await new Promise((resolve) => setTimeout(resolve, 1000));
    } while (!isOver());
  }
  const sampling = setInterval(() => memory.push(residentMegabytes(program.pid!)), 1000);
  const clients = [...Array(readers)].map(read).concat([...Array(writers)].map(write), plan());
  await Promise.all(clients);
  clearInterval(sampling);
  program.kill('SIGTERM');
  if (program.exitCode === null) await once(program, 'exit');
  rmSync(folder, { recursive: true, force: true });
  taken.sort((a, b) => a - b);
  const at = (share: number) => taken[Math.min(taken.length - 1, Math.floor(share * taken.length))] ?? 0;
  return {
    start,
    pages,
    changes,
    plans,
    repeated,
    errors,
    milliseconds: { median: at(0.5), p99: at(0.99), most: at(1) },
    memory,
    slope: slopeOf(memory.slice(Math.floor(memory.length / 3))) * 60,
    exitCode: program.exitCode,
  };
}

const wasClosed = (problem: unknown) =>
  problem instanceof Error &&
  ['ECONNRESET', 'EPIPE', 'UND_ERR_SOCKET'].includes((problem.cause as { code?: string })?.code ?? '');

// On a connection of its own: a form must not be sent twice, so none is sent over one that may be closing.
async function sendForm(
  to: string,
  origin: string,
  fields: Record<string, string>,
): Promise<{ status: number; body: string }> {
  const text = new URLSearchParams(fields).toString();
  const headers = { origin, 'content-type': 'application/x-www-form-urlencoded', 'content-length': text.length };
  const sending = request(to, { method: 'POST', agent: false, headers });
  sending.end(text);
  const [answer] = (await once(sending, 'response')) as [IncomingMessage];
  answer.setEncoding('utf8');
  let body = '';
  for await (const piece of answer) body += piece;
  return { status: answer.statusCode!, body };
}

async function startProgram(folder: string): Promise<{ program: ChildProcess; url: string }> {
  const program = spawn(process.execPath, ['--import', callsNobody, ...command], {
    cwd: root,
    env: { ...process.env, DATA_DIR: folder, PORT: '0', HOST: '127.0.0.1' },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  for await (const piece of program.stdout!) {
    told += piece;
    const url = told.match(/http:\/\/[^\s/]+/)?.[0];
    if (url !== undefined) {
      program.stdout!.resume();
      return { program, url };
    }
  }
  throw new Error(`the program did not start: ${told}`);
}

function linksIn(pages: readonly (string | null)[]): string[] {
  const links = pages.flatMap((page) =>
    [...(page ?? '').matchAll(/<a [^>]*href="(\/[^"#?]*)"/g)].map((one) => one[1]!),
  );
  return [...new Set(['/', '/roadmap', '/money', ...links])].filter(
    (one) => !/^\/(export|months\/\d|assets)/.test(one),
  );
}

// What the form of a page would send as it stands.
function formOf(page: string): { action: string; fields: Record<string, string> } {
  const { document } = parseHTML(page);
  const fields: Record<string, string> = {};
  for (const control of document.querySelectorAll('main form input, main form textarea, main form select')) {
    const name = control.getAttribute('name');
    const type = control.getAttribute('type') ?? '';
    if (name === null || (['radio', 'checkbox'].includes(type) && !control.hasAttribute('checked'))) continue;
    const chosen = control.querySelector('option[selected]') ?? control.querySelector('option');
    fields[name] = chosen?.getAttribute('value') ?? control.getAttribute('value') ?? control.textContent ?? '';
  }
  return { action: document.querySelector('main form')?.getAttribute('action') ?? '', fields };
}

/** The memory a process holds, in megabytes; Linux tells it in kilobytes. NaN where it cannot be told. */
export function residentMegabytes(pid: number): number {
  try {
    const line = readFileSync(`/proc/${pid}/status`, 'utf8').match(/VmRSS:\s+(\d+) kB/);
    return Number(line?.[1]) / 1024;
  } catch {
    return Number.NaN;
  }
}

// Linux counts it in hundredths of a second, for the program and for the system on its behalf.
function processorMilliseconds(pid: number): number {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
    return 10 * (Number(fields[11]) + Number(fields[12]));
  } catch {
    return Number.NaN;
  }
}

/** The slope of the straight line through values one step apart, by least squares; 0 for fewer than two. */
export function slopeOf(values: readonly number[]): number {
  const known = values.map((value, index) => ({ value, index })).filter(({ value }) => Number.isFinite(value));
  if (known.length < 2) return 0;
  const mean = (of: (one: (typeof known)[number]) => number) =>
    known.reduce((sum, one) => sum + of(one), 0) / known.length;
  const [x, y] = [mean((one) => one.index), mean((one) => one.value)];
  const across = known.reduce((sum, one) => sum + (one.index - x) * (one.value - y), 0);
  return across / known.reduce((sum, one) => sum + (one.index - x) ** 2, 0);
}

if (process.argv[1] === import.meta.filename) await report();

async function report(): Promise<void> {
  const { values } = parseArgs({
    options: {
      ledger: { type: 'string', multiple: true },
      seconds: { type: 'string', default: '60' },
      minutes: { type: 'string' },
      readers: { type: 'string', default: '50' },
      writers: { type: 'string', default: '5' },
      pause: { type: 'string', default: '1000' },
    },
  });
  const seconds = values.minutes === undefined ? Number(values.seconds) : 60 * Number(values.minutes);
  const folder = join(import.meta.dirname, '../output/ledgers');
  for (const name of LEDGERS) {
    if (values.ledger !== undefined && !values.ledger.includes(name)) continue;
    const [readers, writers, pause] = [Number(values.readers), Number(values.writers), Number(values.pause)];
    const result = await runLoad({ file: await ledgerFile(name, folder), seconds, readers, writers, pause });
    const { start, pages, changes, plans, repeated, errors, milliseconds, memory, slope, exitCode } = result;
    const settled = memory.slice(Math.floor(memory.length / 3));
    console.log(
      `${name}: ${seconds} s, ${readers} readers and ${writers} writers with ${pause} ms between, ${plans} plans begun: first page ${start.clock.toFixed(0)} ms after the start, ${start.processor.toFixed(0)} ms of the processor; ${pages} pages and ${changes} changes, ${errors.length} errors, ${repeated} asked for again; ` +
        `median ${milliseconds.median.toFixed(0)} ms, p99 ${milliseconds.p99.toFixed(0)} ms, slowest ${milliseconds.most.toFixed(0)} ms; ` +
        `memory ${Math.min(...settled).toFixed(0)} to ${Math.max(...settled).toFixed(0)} MB, ${slope.toFixed(2)} MB a minute after a third; ended with ${exitCode}; load average ${loadavg()[0]!.toFixed(1)}`,
    );
    for (const one of [...new Set(errors)].slice(0, 10)) console.log(`  error: ${one}`);
  }
}

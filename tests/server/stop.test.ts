// The real program is told to end in the middle of everything it does: requests, a plan, a question in its own thread, studies, a whole ledger
// that comes in. It ends with 0 within 5 seconds, leaves one file, and what it acknowledged is in it. Told twice, it ends at once.

import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { listQuestions } from '../../server/db/cap.ts';
import { closeDatabase, type Db, openDatabase } from '../../server/db/open.ts';
import { listPlans } from '../../server/db/plans.ts';
import { listRooms } from '../../server/db/rooms.ts';
import { paths } from '../../server/paths.ts';
import { type Document, findForm, formValues } from '../support/app.ts';
import { keepSmallLedger, wantHide } from '../support/ledger.ts';
import { writeInOneFile } from '../support/one-file.ts';

const LONGEST_STOP = 5_000;

const folder = mkdtempSync(join(tmpdir(), 'stop-'));
const program = join(folder, 'program.mjs');
const file = join(folder, 'ledger.sqlite');

beforeAll(async () => {
  await writeInOneFile('server/main.ts', program);
  const db = openDatabase(file);
  keepSmallLedger(db);
  for (let index = 0; index < 12; index += 1) wantHide(db, `Hide ${index}`, 'warm', 900 + 37 * index);
  closeDatabase(db);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Running = {
  child: ChildProcess;
  url: string;
  ended: Promise<number | null>;
  errors: () => string;
  get: (path: string) => Promise<{ status: number; text: string; document: Document }>;
  post: (path: string, fields: Record<string, string>) => Promise<number>;
};

async function start(...options: string[]): Promise<Running> {
  const child = spawn(process.execPath, [...options, program], {
    env: { PATH: process.env.PATH ?? '', PORT: '0', DATA_DIR: folder },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let [output, errors] = ['', ''];
  const ended = new Promise<number | null>((resolve) => child.on('exit', (code) => resolve(code)));
  onTestFinished(async () => {
    child.kill('SIGKILL');
    await ended;
  });
  child.stderr!.on('data', (chunk) => (errors += chunk));
  const url = await new Promise<string>((resolve, reject) => {
    child.stdout!.on('data', (chunk) => {
      output += chunk;
      const found = /http:\S+\/(?=\n)/.exec(output);
      if (found !== null) resolve(found[0]);
    });
    child.on('exit', () => reject(new Error(`the program ended: ${errors}`)));
  });
  return {
    ...{ child, url, ended },
    errors: () => errors,
    get: async (path) => {
      const answer = await fetch(new URL(path, url), { redirect: 'manual' });
      const text = await answer.text();
      return { status: answer.status, text, document: parseHTML(text).document as unknown as Document };
    },
    post: async (path, fields) => {
      const headers = { 'sec-fetch-site': 'same-origin' };
      const body = new URLSearchParams(fields);
      const answer = await fetch(new URL(path, url), { method: 'POST', redirect: 'manual', headers, body });
      await answer.body?.cancel();
      return answer.status;
    },
  };
}

/** The form of a page as it stands, to be sent to where it leads. */
async function formAt({ get }: Running, path: string): Promise<Record<string, string>> {
  return formValues(findForm((await get(path)) as never, path));
}

async function until(isSo: () => Promise<boolean>): Promise<void> {
  for (const began = performance.now(); !(await isSo()); ) {
    if (performance.now() - began > 60_000) throw new Error('it never came to that');
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Enters rooms, one after the other, until the program is gone; the names of those that it said it kept. */
async function enterRooms(running: Running, client: number, kept: string[]): Promise<void> {
  try {
    for (let count = 0; ; count += 1) {
      const name = `room ${client} ${count}`;
      const status = await running.post(paths.rooms.new, { ...(await formAt(running, paths.rooms.new)), name });
      if (status === 303) kept.push(name);
    }
  } catch {
    // It is gone.
  }
}

/** What an ended program left: nothing beside the one file, which is whole. */
function left<Found>(look: (db: Db) => Found): Found {
  expect([existsSync(`${file}-wal`), existsSync(`${file}-shm`)]).toEqual([false, false]);
  const db = openDatabase(file);
  try {
    expect(db.$client.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(db.$client.pragma('foreign_key_check')).toEqual([]);
    return look(db);
  } finally {
    closeDatabase(db);
  }
}

async function endsInTime(running: Running, signal: NodeJS.Signals): Promise<void> {
  const began = performance.now();
  running.child.kill(signal);
  expect([await running.ended, running.errors()]).toEqual([0, '']);
  expect(performance.now() - began).toBeLessThan(LONGEST_STOP);
}

let kept: string[] = [];

test('While forms, half a form, a plan and a question are under way, it ends in time and has what it acknowledged', async () => {
  const running = await start();
  expect(await running.post(paths.roadmap.plan, {})).toBe(303);
  expect(await running.post(paths.cap.ask('price-rise'), { percent: '20' })).toBe(303);
  await until(async () => (await running.get(paths.roadmap.progress)).text.includes('Looking for a better plan'));
  expect((await running.get(paths.cap.progress)).status).toBe(200);
  // Half a form of a browser that has gone to sleep.
  const half = connect(Number(new URL(running.url).port), '127.0.0.1');
  half.on('error', () => undefined);
  half.write('POST /rooms/new HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\n');
  half.write('Sec-Fetch-Site: same-origin\r\nContent-Length: 400\r\n\r\nname=half');
  const clients = [0, 1, 2].map((client) => enterRooms(running, client, kept));
  await until(async () => kept.length >= 12);
  await endsInTime(running, 'SIGTERM');
  await Promise.all(clients);
  const found = left((db) => ({
    rooms: listRooms(db).map((one) => one.name),
    plans: listPlans(db).length,
    asked: listQuestions(db, 9).length,
  }));
  expect(found).toMatchObject({ plans: 0, asked: 0 });
  for (const name of kept) expect(found.rooms, name).toContain(name);
  expect(new Set(found.rooms).size).toBe(found.rooms.length);
  kept = found.rooms;
});

test('While studies are under way and a whole ledger comes in, it ends in time with the one or the other ledger whole', async () => {
  const running = await start();
  expect(await running.post(paths.roadmap.plan, {})).toBe(303);
  await until(async () => (await running.get(paths.roadmap.progress)).text.includes('Looking for a better plan'));
  await running.post(paths.roadmap.stop, {});
  await until(async () => (await running.get(paths.roadmap.progress)).status === 303);
  expect((await running.get(paths.roadmap.show)).text).toContain('Being worked out in the background');
  const { text } = await running.get(paths.export.ledger);
  expect(await running.post(paths.rooms.new, { ...(await formAt(running, paths.rooms.new)), name: 'after' })).toBe(303);
  const looked = await fetch(new URL(paths.export.import, running.url), {
    ...{ method: 'POST', headers: { 'sec-fetch-site': 'same-origin' }, body: new URLSearchParams({ text }) },
  });
  const page = { document: parseHTML(await looked.text()).document };
  const fields = formValues(findForm(page as never, paths.export.import));
  const coming = running.post(paths.export.import, { ...fields, step: 'take' }).catch(() => null);
  await endsInTime(running, 'SIGTERM');
  const names = left((db) => listRooms(db).map((one) => one.name));
  const cameIn = await coming;
  expect(names.filter((one) => one !== 'after')).toEqual(kept);
  if (cameIn === 303) expect(names).not.toContain('after');
});

test('A second signal ends it at once where the first waits for a thread that does not end, and what was acknowledged is there', async () => {
  const deaf =
    "import { Worker } from 'node:worker_threads'; Worker.prototype.terminate = () => new Promise(() => {});";
  const running = await start('--import', `data:text/javascript,${encodeURIComponent(deaf)}`);
  const name = 'the last';
  expect(await running.post(paths.rooms.new, { ...(await formAt(running, paths.rooms.new)), name })).toBe(303);
  expect(await running.post(paths.roadmap.plan, {})).toBe(303);
  running.child.kill('SIGTERM');
  // Whoever asks is turned away once it has begun to end.
  await until(() =>
    running.get(paths.home).then(
      (page) => page.status === 503,
      () => true,
    ),
  );
  expect(running.child.exitCode).toBeNull();
  const began = performance.now();
  running.child.kill('SIGINT');
  expect(await running.ended).toBe(1);
  expect(performance.now() - began).toBeLessThan(2_000);
  const db = openDatabase(file);
  expect(listRooms(db).map((one) => one.name)).toContain(name);
  closeDatabase(db);
});

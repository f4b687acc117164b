// Kills the real program at random moments while several clients send it real forms, and holds what is on the disk afterwards against
// what was answered: an acknowledged form is there whole, one without an answer is there whole or not at all, and either of them sent
// again after the next start has no second effect. Only this file knows how that is found out.

import { type ChildProcess, spawn } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { parseHTML } from 'linkedom';
import { addEnclosure, findEnclosure } from '../../server/db/collection.ts';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { randomNumbers } from '../../src/search.ts';
import { type Document, findForm, formValues } from './app.ts';
import { animalTexts, enclosureTexts, readingTexts } from './collection.ts';
import { keepGecko, keepMoney } from './ledger.ts';
import { writeInOneFile } from './one-file.ts';

/** What a run of kills came to; `problems` is empty when nothing was lost, halved or doubled. */
export type CrashSummary = {
  kills: number;
  /** Of these, the kills while the program was starting. */
  killsAtStart: number;
  sent: number;
  acknowledged: number;
  /** Forms that were under way at a kill: those found whole and those found absent. */
  cutOffWhole: number;
  cutOffAbsent: number;
  sentAgain: number;
  /** Acknowledged forms by kind. */
  kinds: Record<string, number>;
  seconds: number;
  problems: string[];
};

/** What is wrong with the program on purpose: see warmed-program.ts. */
export type PlantedFault = 'early-answer' | 'no-transaction' | 'killed-inside';

/** Writes the program that is killed into a folder; returns its file. It starts by itself alone once it is told to. */
export async function writeKilledProgram(folder: string): Promise<string> {
  const file = join(folder, 'program.mjs');
  await writeInOneFile(join(import.meta.dirname, 'warmed-program.ts'), file);
  return file;
}

type Sent = {
  kind: Kind;
  /** The text by which its rows are known. */
  marker: string;
  /** How many rows and marks it leaves when it is whole. */
  rows: number;
  url: string;
  fields: Record<string, string>;
  acknowledged: boolean;
  /** The life of the program in which it was first sent. */
  life: number;
  isReplacement: boolean;
};

type Kind = keyof typeof found;

// How many rows and marks each marker has, kind by kind.
const found = {
  enclosure: 'SELECT name AS marker, count(*) AS rows FROM enclosures GROUP BY name',
  removed: 'SELECT name AS marker, count(*) AS rows FROM enclosures WHERE removed_on IS NOT NULL GROUP BY name',
  animal: 'SELECT name AS marker, count(*) AS rows FROM animals GROUP BY name',
  reading: 'SELECT notes AS marker, count(*) AS rows FROM readings GROUP BY notes',
  import: 'SELECT notes AS marker, count(*) AS rows FROM readings GROUP BY notes',
  round: 'SELECT instrument AS marker, count(*) AS rows FROM readings GROUP BY instrument',
  upgrade: 'SELECT name AS marker, count(*) AS rows FROM upgrades GROUP BY name',
  bought: `SELECT name AS marker, (bought_on IS NOT NULL) +
    (SELECT count(*) FROM events WHERE upgrade_id = upgrades.id AND what = 'bought') AS rows FROM upgrades`,
  fitted: `SELECT name AS marker, (status = 'fitted') +
    (SELECT count(*) FROM events WHERE upgrade_id = upgrades.id AND what = 'fitted') +
    (SELECT count(*) FROM fittings WHERE fittings.name = upgrades.name) AS rows FROM upgrades`,
  sum: 'SELECT note AS marker, count(*) AS rows FROM one_off_sums GROUP BY note',
  sign: 'SELECT notes AS marker, count(*) AS rows FROM animal_signs GROUP BY notes',
  room: 'SELECT name AS marker, count(*) AS rows FROM rooms GROUP BY name',
  socket: 'SELECT name AS marker, count(*) AS rows FROM outlets GROUP BY name',
  month: "SELECT json_extract(record, '$.note') AS marker, count(*) AS rows FROM closed_months GROUP BY 1",
  correction: 'SELECT note AS marker, count(*) AS rows FROM month_corrections GROUP BY note',
  // Of changes to one row only the last is to be seen; its number stands behind the mark.
  change: "SELECT notes AS marker, 1 AS rows FROM enclosures WHERE notes LIKE 'change %'",
  // The replacement of the whole ledger is known by what was entered after the file was written.
  replacement: "SELECT '' AS marker, 0 AS rows",
} as const;

const CLIENTS = 4;
const LONGEST_MILLISECONDS = 10_000;
const IMPORTED_ROWS = 28;
const ROUND = ['warm-hide-floor', 'cool-end-air', 'humidity-day'];
/** Every so many lives one is ended before it answers, and every so many the whole ledger is replaced. */
const AT_START_EVERY = 7;
const REPLACED_EVERY = 5;

/**
 * Lets a program (of writeKilledProgram) live and be killed so many times in a folder of its own, from a seed. `longest` is the most acknowledged forms
 * of one life. Stops at the first problem.
 */
export async function surviveKills({
  program: programFile,
  kills,
  seed,
  folder: above,
  longest = 40,
  fault,
  log = () => undefined,
}: {
  program: string;
  kills: number;
  seed: number;
  folder: string;
  longest?: number;
  fault?: PlantedFault;
  log?: (line: string) => void;
}): Promise<CrashSummary> {
  const began = performance.now();
  const folder = mkdtempSync(join(above, 'crash-'));
  const file = join(folder, 'ledger.sqlite');
  const random = randomNumbers(seed);
  const below = (limit: number) => Math.floor(random() * limit);
  const own = firstLedger(file);
  const sent: Sent[] = [];
  const summary: CrashSummary = {
    kills: 0,
    killsAtStart: 0,
    sent: 0,
    acknowledged: 0,
    cutOffWhole: 0,
    cutOffAbsent: 0,
    sentAgain: 0,
    kinds: {},
    seconds: 0,
    problems: [],
  };
  const changes = new Map<number, { acknowledged: number; sent: number }>();
  let count = 0;
  let monthsClosed = 0;
  let replacedIn = 0;
  let next = warm(programFile, folder, fault);
  let present = next;
  let again: Sent[] = [];
  let life = 0;

  try {
    while (summary.kills < kills && summary.problems.length === 0) {
      life += 1;
      const program = next;
      present = program;
      // The last life, which is ended in good order, has no fault.
      next = warm(programFile, folder, summary.kills + 1 < kills ? fault : undefined);
      program.go();
      if (life % AT_START_EVERY === 0) {
        await later(below(1500));
        summary.killsAtStart += 1;
      } else {
        const url = await program.url;
        const state = { isOver: false };
        await sendAllAgain(url, again);
        const from = sent.length;
        const clients =
          life % REPLACED_EVERY === 0
            ? [replaceLedger(url, state)]
            : Array.from({ length: CLIENTS }, (_, client) => liveOn(url, client, state));
        let clientsAtWork = clients.length;
        const clientEnded = () => {
          clientsAtWork -= 1;
        };
        for (const one of clients) void one.finally(() => clientEnded()).catch(() => undefined);
        // A life is as long as so many answers and a little more, so that a busy machine does not make it an idle one.
        const [answers, rest] = [summary.acknowledged + below(longest), below(60)];
        const latest = performance.now() + LONGEST_MILLISECONDS;
        while (summary.acknowledged < answers && performance.now() < latest && clientsAtWork > 0) await later(1);
        await later(rest);
        state.isOver = true;
        await program.kill();
        await Promise.all(clients);
        again = sent.slice(from).filter((one) => !one.acknowledged);
      }
      await program.kill();
      summary.kills += 1;
      check(`after kill ${summary.kills}`);
      const fresh = sent.filter((one) => one.acknowledged && one.life > replacedIn && one.kind !== 'change');
      again = [...again, ...Array.from({ length: Math.min(2, fresh.length) }, () => fresh[below(fresh.length)]!)];
      if (summary.kills % 10 === 0)
        log(`${summary.kills} kills, ${summary.acknowledged} acknowledged, ${summary.problems.length} problems`);
    }
    if (summary.problems.length === 0) await endWell();
  } finally {
    await next.kill();
    rmSync(folder, { recursive: true, force: true });
  }
  for (const one of sent) {
    if (one.acknowledged) summary.kinds[one.kind] = (summary.kinds[one.kind] ?? 0) + 1;
  }
  summary.seconds = Math.round((performance.now() - began) / 1000);
  return summary;

  function nextNumber(): number {
    count += 1;
    return count;
  }

  /** A last life, ended as a person ends it: nothing beside the one file is left. */
  async function endWell(): Promise<void> {
    const program = next;
    program.go();
    const url = await program.url;
    await sendAllAgain(url, again);
    const code = await program.end('SIGTERM');
    if (code !== 0) problem(`the last stop ended with ${code}`);
    if (existsSync(`${file}-wal`)) problem('a write-ahead log was left');
    check('after the last stop');
  }

  /** Sends forms of every kind one after the other, until the program is killed. */
  async function liveOn(url: string, client: number, state: { isOver: boolean }): Promise<void> {
    const marker = () => `c${client} n${nextNumber()}`;
    const enter = async (kind: Kind, path: string, typed: Record<string, string>, rows = 1, mark = marker()) => {
      const fields = await formAt(url, path);
      const named = Object.fromEntries(Object.entries(typed).map(([name, text]) => [name, text.replace('MARK', mark)]));
      const location = await send(url, kind, mark, rows, path, { ...fields, ...named });
      return { mark, location };
    };
    const acts: (() => Promise<unknown>)[] = [
      () => enter('room', '/rooms/new', { name: 'MARK' }),
      () => enter('socket', '/rooms/sockets/new?kind=eu', { name: 'MARK' }),
      () => enter('animal', '/animals/new', { ...animalTexts, enclosure: '2', name: 'MARK' }),
      () => enter('reading', '/enclosures/1/readings/new?kind=warm-hide-floor', { ...readingTexts, notes: 'MARK' }),
      () => enter('sum', '/money/sums/new', { note: 'MARK', direction: 'out', amount: '4.50', month: '2199-03' }),
      () => enter('sign', '/animals/1/signs/new?kind=appetite', { worrying: 'no', notes: 'MARK' }),
      async () => {
        // Said to be right as typed, in case they are far from what was read before.
        const values = Object.fromEntries(
          ROUND.flatMap((kind) => [
            [`value-${kind}`, '30'],
            [`sure-${kind}`, 'yes'],
          ]),
        );
        await enter('round', '/enclosures/1/round', { ...values, instrument: 'MARK' }, ROUND.length);
      },
      async () => {
        const mark = marker();
        const lines = Array.from(
          { length: IMPORTED_ROWS },
          (_, line) =>
            `warm-hide-floor,${29 + (count % 9000) / 10_000},2024-${two((count % 12) + 1)}-${two(line + 1)},${mark}`,
        );
        const text = ['kind,value,date,note', ...lines].join('\n');
        const path = '/enclosures/1/readings/import';
        await send(url, 'import', mark, IMPORTED_ROWS, path, { ...(await formAt(url, path)), text, step: 'take' });
      },
      async () => {
        const { mark, location } = await enter('enclosure', '/enclosures/new', { ...enclosureTexts, name: 'MARK' });
        const path = `${location.replace(/\?.*/, '')}/remove`;
        await send(url, 'removed', mark, 1, path, await formAt(url, path));
      },
      async () => {
        const thing = { 'c1-enclosure': '2', 'c1-name': 'MARK' };
        const { mark, location } = await enter('upgrade', `/upgrades/new`, {
          ...(await changeFields(url)),
          ...{ name: 'MARK', priceLow: '5', priceHigh: '5', step: 'save' },
          ...thing,
        });
        const at = location.replace(/\?.*/, '');
        await enter('bought', `${at}/bought`, {}, 2, mark);
        await enter('fitted', `${at}/fitted`, {}, 3, mark);
      },
      async () => {
        const path = `/enclosures/${own[client]!}/edit`;
        const fields = await formAt(url, path);
        const number = (changes.get(client)?.sent ?? 0) + 1;
        const before = changes.get(client)?.acknowledged ?? 0;
        changes.set(client, { acknowledged: before, sent: number });
        await send(url, 'change', `change ${client} ${number}`, 1, path, {
          ...fields,
          notes: `change ${client} ${number}`,
        });
        changes.set(client, { acknowledged: number, sent: number });
      },
    ];
    // A month can be closed once, so that only one client closes them.
    if (client === 0 && monthsClosed < 20) {
      acts.push(async () => {
        const month = `${2025 + Math.floor(monthsClosed / 12)}-${two((monthsClosed % 12) + 1)}`;
        await enter('month', `/months/${month}/close`, { note: 'MARK' });
        await enter('correction', `/months/${month}/correct`, { note: 'MARK' });
      });
    }
    try {
      while (!state.isOver) await acts[below(acts.length)]!();
    } catch (problem) {
      if (!state.isOver && summary.problems.length === 0 && !(await present.isGone())) throw problem;
    }
  }

  /** Writes the ledger out, enters more, and replaces it by what was written out. */
  async function replaceLedger(url: string, state: { isOver: boolean }): Promise<void> {
    try {
      const text = await (await ask(url, '/export/ledger.json')).text();
      for (let time = 0; time < 3; time += 1) {
        const mark = `replaced n${nextNumber()}`;
        await send(url, 'room', mark, 1, '/rooms/new', { ...(await formAt(url, '/rooms/new')), name: mark });
      }
      const look = await post(url, '/import', { text });
      const fields = fieldsOf(await look.text(), '/import');
      await send(url, 'replacement', '', 0, '/import', { ...fields, step: 'take' });
    } catch (problem) {
      if (!state.isOver && summary.problems.length === 0) throw problem;
    }
  }

  async function changeFields(url: string): Promise<Record<string, string>> {
    const answer = await post(url, '/upgrades/new', {
      ...(await formAt(url, '/upgrades/new')),
      add: 'fit:hide',
      step: 'add',
    });
    return fieldsOf(await answer.text(), '/upgrades/new');
  }

  async function send(
    url: string,
    kind: Kind,
    marker: string,
    rows: number,
    path: string,
    fields: Record<string, string>,
  ): Promise<string> {
    const one: Sent = {
      ...{ kind, marker, rows, url: path, fields, life },
      acknowledged: false,
      isReplacement: kind === 'replacement',
    };
    sent.push(one);
    // One that is cut off is sent again before the next month is closed: months are closed in their order.
    if (kind === 'month') monthsClosed += 1;
    summary.sent += 1;
    const location = await acknowledge(one, await post(url, path, fields));
    if (location === null) throw new Error('a form was refused');
    return location;
  }

  async function acknowledge(one: Sent, answer: Response): Promise<string | null> {
    if (answer.status !== 303) {
      const words = parseHTML(await answer.text()).document.querySelector('main')?.textContent ?? '';
      // A form of a ledger that was replaced is refused by what came in its place; sent again, it says so.
      if (answer.status === 409 && one.life <= replacedIn && words.includes('Another ledger was put in place'))
        return null;
      problem(
        `${one.kind} '${one.marker}' to ${one.url} was answered ${answer.status}: ${words.replace(/\s+/g, ' ').slice(0, 300)}`,
      );
      return null;
    }
    await answer.body?.cancel();
    if (!one.acknowledged) summary.acknowledged += 1;
    one.acknowledged = true;
    if (one.isReplacement) forgetReplaced(one);
    return answer.headers.get('location');
  }

  // A ledger that comes in from a file brings no memory of forms along: what was acknowledged before would be taken for new after one that
  // was cut off is sent again itself.
  async function sendAllAgain(url: string, forms: readonly Sent[]): Promise<void> {
    for (const one of forms) if (!one.acknowledged || one.life > replacedIn) await sendAgain(url, one);
  }

  async function sendAgain(url: string, one: Sent): Promise<void> {
    summary.sentAgain += 1;
    await acknowledge(one, await post(url, one.url, one.fields));
  }

  /** Once the ledger was replaced, what was entered after it was written out is not to be there. */
  function forgetReplaced(replacement: Sent): void {
    replacedIn = life;
    for (const one of sent) {
      if (one.life === replacement.life && one.kind === 'room' && one.marker.startsWith('replaced')) one.rows = 0;
    }
  }

  function problem(what: string): void {
    if (summary.problems.length < 20) summary.problems.push(`life ${life}, seed ${seed}: ${what}`);
  }

  /** Looks at a copy of the file and its log as they were left: looking at them themselves would mend them. */
  function check(when: string): void {
    if (!existsSync(file)) {
      problem(`${when} the file is gone`);
      return;
    }
    const looked = join(folder, 'looked');
    mkdirSync(looked, { recursive: true });
    for (const rest of ['', '-wal']) {
      rmSync(join(looked, `copy${rest}`), { force: true });
      if (existsSync(file + rest)) copyFileSync(file + rest, join(looked, `copy${rest}`));
    }
    rmSync(join(looked, 'copy-shm'), { force: true });
    const client = new Database(join(looked, 'copy'));
    try {
      const verdict = client.pragma('integrity_check', { simple: true });
      if (verdict !== 'ok') problem(`${when} the file is damaged: ${String(verdict)}`);
      const orphans = client.pragma('foreign_key_check') as unknown[];
      if (orphans.length > 0) problem(`${when} ${orphans.length} rows point at nothing`);
      compare(client, when);
    } finally {
      client.close();
    }
  }

  function compare(client: Database.Database, when: string): void {
    const there = Object.fromEntries(
      Object.entries(found).map(([kind, query]) => [
        kind,
        new Map(
          client
            .prepare<[], { marker: string; rows: number }>(query)
            .all()
            .map((row) => [row.marker, row.rows]),
        ),
      ]),
    ) as Record<Kind, Map<string, number>>;
    // A replacement that was cut off either took place, and then all that was entered after the file was written is gone, or did not.
    const replacement = sent.findLast((one) => one.isReplacement);
    if (replacement !== undefined && !replacement.acknowledged && replacement.life === life) {
      const after = sent.filter((one) => one.life === life && !one.isReplacement);
      const isGone = after.every((one) => !there.room.has(one.marker));
      if (!isGone && after.some((one) => !there.room.has(one.marker)))
        problem(`${when} half of the ledger was replaced`);
      if (isGone && after.length > 0) forgetReplaced(replacement);
    }
    for (const one of sent) {
      if (one.kind === 'change' || one.isReplacement) continue;
      const rows = there[one.kind].get(one.marker) ?? 0;
      const before = one.life === life && !one.acknowledged;
      if (before && rows === one.rows) summary.cutOffWhole += 1;
      if (before && rows === 0) summary.cutOffAbsent += 1;
      const isHalf = rows !== 0 && rows !== one.rows;
      if (isHalf && rows > one.rows)
        problem(`${when} ${one.kind} '${one.marker}' is there ${rows} times instead of ${one.rows}`);
      else if (isHalf) problem(`${when} ${one.kind} '${one.marker}' is half there: ${rows} of ${one.rows}`);
      else if (one.acknowledged && rows !== one.rows)
        problem(`${when} ${one.kind} '${one.marker}' was acknowledged and is lost`);
    }
    for (const [client, { acknowledged, sent: last }] of changes) {
      const notes = [...there.change.keys()].filter((text) => text.startsWith(`change ${client} `));
      const number = notes.length === 0 ? 0 : Number(notes[0]!.split(' ')[2]);
      if (number < acknowledged || number > last)
        problem(`${when} change ${acknowledged} of client ${client} was acknowledged and ${number} is there`);
      else changes.set(client, { acknowledged: number, sent: last });
    }
  }
}

/** A ledger with a gecko, money since January 2025, an empty box, and one box for each client to change; returns their ids. */
function firstLedger(file: string): string[] {
  const db = openDatabase(file);
  try {
    keepGecko(db);
    keepMoney(db, 20_00, 30_00, '2025-01-15');
    const { id: _, removedOn: _removed, version: _version, ...box } = findEnclosure(db, 1)!;
    addEnclosure(db, { ...box, name: 'Empty box' });
    return Array.from({ length: CLIENTS }, (_one, client) => addEnclosure(db, { ...box, name: `Box of ${client}` }));
  } finally {
    closeDatabase(db);
  }
}

type Program = {
  go: () => void;
  url: Promise<string>;
  kill: () => Promise<void>;
  end: (signal: NodeJS.Signals) => Promise<number | null>;
  /** Whether it ended by itself, or does so within the time that a kill takes to be heard of. */
  isGone: () => Promise<boolean>;
};

/** A program that has read what it needs and waits for the word to start. */
function warm(file: string, folder: string, fault: PlantedFault | undefined): Program {
  const child: ChildProcess = spawn(process.execPath, [file], {
    env: {
      ...{ PATH: process.env.PATH ?? '', PORT: '0', DATA_DIR: folder },
      ...(fault === undefined ? {} : { PLANTED_FAULT: fault }),
    },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  let [output, errors] = ['', ''];
  const ended = new Promise<number | null>((resolve) => child.on('exit', (code) => resolve(code)));
  const url = new Promise<string>((resolve, reject) => {
    child.stdout!.on('data', (chunk) => {
      output += chunk;
      const address = /http:\S+/.exec(output);
      if (address !== null) resolve(address[0]);
    });
    child.on('exit', () => reject(new Error(`the program ended before it answered: ${errors}`)));
  });
  url.catch(() => undefined);
  child.stderr!.on('data', (chunk) => {
    errors += chunk;
  });
  const end = (signal: NodeJS.Signals) => {
    child.kill(signal);
    return ended;
  };
  return {
    go: () => child.send('go', () => undefined),
    url,
    end,
    kill: async () => void (await end('SIGKILL')),
    isGone: () => Promise.race([ended.then(() => true), later(2_000).then(() => false)]),
  };
}

async function formAt(url: string, path: string): Promise<Record<string, string>> {
  const answer = await ask(url, path);
  if (answer.status !== 200) throw new Error(`${path} answered ${answer.status}`);
  return fieldsOf(await answer.text(), path);
}

function fieldsOf(html: string, action: string): Record<string, string> {
  // A page about many enclosures has a form besides that narrows it to one.
  const whole = html.replaceAll(/<form class="narrowing"[\s\S]*?<\/form>/g, '');
  const document = parseHTML(whole).document as unknown as Document;
  return formValues(findForm({ document } as never, action));
}

function post(url: string, path: string, fields: Record<string, string>): Promise<Response> {
  return ask(url, path, {
    method: 'POST',
    body: new URLSearchParams(fields),
    headers: { 'sec-fetch-site': 'same-origin' },
  });
}

// A connection that was idle may be ended by the program just when it is used again; what was sent is then sent anew, as browsers do.
async function ask(url: string, path: string, options: RequestInit = {}): Promise<Response> {
  for (let tries = 1; ; tries += 1) {
    try {
      return await fetch(new URL(path, url), { redirect: 'manual', ...options });
    } catch (problem) {
      const code = String((problem as { cause?: { code?: unknown } }).cause?.code);
      if (tries === 5 || !['ECONNRESET', 'UND_ERR_SOCKET', 'EPIPE'].includes(code)) throw problem;
    }
  }
}

function later(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

function two(number: number): string {
  return String(number).padStart(2, '0');
}

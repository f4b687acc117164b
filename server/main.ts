// The program itself: the only file that reads the environment, listens, prints and exits.

import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { isIP } from 'node:net';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import closeWithGrace from 'close-with-grace';
import { z } from 'zod';
import { programStartSentences } from './access-words.ts';
import { type AppParts, buildApp } from './app.ts';
import { doctorWords } from './backup-words.ts';
import { type Config, isEveryAddress, publicUrl, readConfig } from './config.ts';
import { type AccessFile, openAccessFile } from './db/access.ts';
import { beginInTimeZone } from './db/ledger.ts';
import { fileSystemAt, lockFileOf } from './db/lock.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { closeDatabase, type Db, newestStep, openDatabase, openMemory, upgradeOf } from './db/open.ts';
import { shownWhenAsked } from './demonstration.ts';
import { paths } from './paths.ts';

const now = () => new Date();

/** How long a plan of the demonstration is looked for while somebody waits to see it. */
const DEMONSTRATION_MILLISECONDS = 4_000;

// A schema that is used a few times is checked sooner as it stands than made into code first.
z.config({ jitless: true });

// What reads the log may end before the program does, which then goes on without.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);

await start(process.argv.includes('--demo'));

async function start(demo: boolean): Promise<void> {
  const settings = readConfig(process.env);
  if (settings.status === 'bad') stopWith(settings.problems.join('\n'));
  const { host, port, dataDir, origin, hosts, proxies, isReachedBecause } = settings.config;
  const accessFile = openAccess(dataDir, isReachedBecause);
  const db = await openLedger(dataDir, demo);
  // Where nothing was said yet, today is the day of the computer it runs on.
  if (!demo) beginInTimeZone(db, Intl.DateTimeFormat().resolvedOptions().timeZone);
  const { applied, copy } = upgradeOf(db);
  if (copy !== null) console.log(doctorWords.upgraded(newestStep() - applied, newestStep(), copy));
  const place = fileSystemAt(dataDir);
  if (place !== 'local') console.error(doctorWords.place(dataDir, place));
  const reach = { origin, hosts, ownAddresses: () => ownAddresses(host) };
  const app = await buildApp({
    db,
    now,
    accessFile,
    isPasswordRequired: isReachedBecause !== null,
    reach,
    proxies,
    log: process.stderr,
    dailyBackups: !demo,
    ...(demo
      ? { demonstration: { prefix: '' } }
      : { shows: shownWhenAsked(() => makeDemonstration({ reach, proxies })) }),
  });
  try {
    await app.listen({ host, port });
  } catch (problem) {
    closeDatabase(db);
    stopWith(listenSentence(problem, host, port));
  }
  closeWithGrace({ delay: 5_000, logger: false }, async ({ err }) => {
    if (err) app.log.error({ err }, 'the program stops after a fault');
    await app.close();
    closeDatabase(db);
    accessFile.close();
  });
  const address = app.server.address();
  const openPort = typeof address === 'object' && address !== null ? address.port : port;
  if (demo) console.log('This is the demonstration ledger; your own ledger is not touched.');
  for (const url of urlsOf(settings.config, openPort)) console.log(`Basking Ledger is at ${url}`);
  if (isReachedBecause !== null && origin?.startsWith('https:') !== true)
    console.log(programStartSentences.overPlainHttp);
}

function openAccess(dataDir: string, isReachedBecause: string | null): AccessFile {
  const file = openAccessFile(join(dataDir, 'access.sqlite'));
  try {
    // Looked at on this computer alone too: what is damaged must not pass for no password.
    const isSet = file.passwordHash() !== null;
    if (isReachedBecause !== null && !isSet) stopWith(programStartSentences.passwordMissing(isReachedBecause));
    return file;
  } catch (problem) {
    if (problem instanceof UnusableDatabase) stopWith(problem.message);
    throw problem;
  }
}

// The addresses of this computer by which others reach what listens at a host.
function ownAddresses(host: string): string[] {
  if (!isEveryAddress(host)) return isIP(host) === 0 ? [] : [host];
  return Object.values(networkInterfaces())
    .flat()
    .filter((one) => one !== undefined && !one.internal && !one.address.startsWith('fe80:'))
    .map((one) => one!.address);
}

function urlsOf({ host, hosts, origin }: Config, port: number): string[] {
  if (origin !== null) return [`${origin}/`];
  const others = ownAddresses(host).filter((one) => !isEveryAddress(host) || isIP(one) === 4);
  return [...hosts, ...others].map((one) => publicUrl(one, port));
}

async function openLedger(dataDir: string, demo: boolean): Promise<Db> {
  try {
    mkdirSync(dataDir, { recursive: true, mode: 0o700 });
    if (!demo) return openDatabase(join(dataDir, 'ledger.sqlite'));
    const file = join(dataDir, 'demo.sqlite');
    if (!existsSync(file)) await makeDemo(file);
    return openDatabase(file);
  } catch (problem) {
    if (problem instanceof UnusableDatabase) stopWith(problem.message);
    if (problem instanceof Error && 'code' in problem && 'path' in problem) {
      stopWith(
        `The folder ${dataDir} cannot be used (${problem.code}). Choose another with DATA_DIR, or make it writable.`,
      );
    }
    throw problem;
  }
}

// The demonstration beside a keeper's own ledger is in memory alone.
async function makeDemonstration(reached: Pick<AppParts, 'reach' | 'proxies'>) {
  const { prepareDemo } = await import('../seed/demo.ts');
  const db = openMemory();
  await prepareDemo(db, now, DEMONSTRATION_MILLISECONDS);
  // Who may come in is asked at the gate of the keeper's own ledger.
  const app = await buildApp({
    db,
    now,
    log: process.stderr,
    demonstration: { prefix: paths.demonstration },
    ...reached,
  });
  await app.ready();
  const end = async () => {
    await app.close();
    closeDatabase(db);
  };
  return { app, end };
}

// Made under another name first, so that a start that was cut short never leaves half a demonstration.
async function makeDemo(file: string): Promise<void> {
  const { prepareDemo } = await import('../seed/demo.ts');
  const unfinished = `${file}.unfinished`;
  for (const rest of ['', '-wal', '-shm']) rmSync(unfinished + rest, { force: true });
  const db = openDatabase(unfinished);
  try {
    await prepareDemo(db, now);
  } finally {
    closeDatabase(db);
  }
  rmSync(lockFileOf(unfinished));
  renameSync(unfinished, file);
}

function listenSentence(problem: unknown, host: string, port: number): string {
  const code = problem instanceof Error && 'code' in problem ? problem.code : null;
  if (code === 'EADDRINUSE') {
    return `Port ${port} is already in use, perhaps by a Basking Ledger that is running. Stop that, or set PORT to another number.`;
  }
  if (code === 'EACCES') return `Port ${port} may not be used by this account. Set PORT to a number above 1023.`;
  if (code === 'EADDRNOTAVAIL') return `This computer has no address ${host}. Set HOST to 127.0.0.1.`;
  throw problem;
}

function stopWith(sentence: string): never {
  console.error(sentence);
  process.exit(1);
}

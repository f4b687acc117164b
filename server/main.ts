// The program itself: the only file that reads the environment, listens, prints and exits.

import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import closeWithGrace from 'close-with-grace';
import { buildApp } from './app.ts';
import { publicUrl, readConfig } from './config.ts';
import { lockFileOf } from './db/lock.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { closeDatabase, type Db, openDatabase } from './db/open.ts';

const now = () => new Date();

await start(process.argv.includes('--demo'));

async function start(demo: boolean): Promise<void> {
  const settings = readConfig(process.env);
  if (settings.status === 'bad') stopWith(settings.problems.join('\n'));
  const { host, port, dataDir } = settings.config;
  const db = await openLedger(dataDir, demo);
  const app = await buildApp({ db, now, log: process.stderr });
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
  });
  const address = app.server.address();
  const openPort = typeof address === 'object' && address !== null ? address.port : port;
  if (demo) console.log('This is the demonstration ledger; your own ledger is not touched.');
  console.log(`Basking Ledger is at ${publicUrl(host, openPort)}`);
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

// What DEVELOPERS tells of upgrading, backing up, restoring and moving a ledger, done word by word: each command of its console blocks is
// run in its order by a shell, in a folder of the program, on a ledger of an older step, and what it prints is held against what stands
// there. `npm run guide` writes what is printed anew.

import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync } from 'node:fs';
import { createServer, request } from 'node:http';
import { type AddressInfo, createServer as createSocket } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { closeDatabase, newestStep, openDatabase } from '../server/db/open.ts';
import { writeLedgerFile } from '../server/ledger-file.ts';
import { plainDate } from '../src/calendar.ts';

const root = join(import.meta.dirname, '..');
const document = join(root, 'DEVELOPERS.md');
const heading = '## Upgrade, back up, restore and move, step by step\n';

// What differs from one reader to another: the day, the port, the addresses of the computer; and, from one version to the next, its newest
// step and how many rows its ledger has. The document has these.
const [writtenDay, writtenPort, writtenAddress] = ['2026-11-27', '4380', '192.168.1.20'];
const [writtenStep, writtenRows] = ['step 20', 'checked: 237 rows'];
const PASSWORD = 'lettuce under a warm slate';

/** A command of the document, with the lines that it is said to print; '^C' ends the program that was started last. */
type Step = { command: string; printed: string[]; from: number; lines: number };

function stepsOf(text: string): Step[] {
  const lines = text.split('\n');
  const begin = lines.indexOf(heading.trim());
  const end = lines.findIndex((line, at) => at > begin && line.startsWith('## '));
  const steps: Step[] = [];
  let inBlock = false;
  for (let at = begin; at < end; at += 1) {
    const line = lines[at]!;
    if (line.startsWith('```')) inBlock = line === '```console';
    else if (inBlock && (line.startsWith('$ ') || line === '^C'))
      steps.push({ command: line.replace(/^\$ /, ''), printed: [], from: at + 1, lines: 0 });
    else if (inBlock) {
      steps.at(-1)!.printed.push(line);
      steps.at(-1)!.lines += 1;
    }
  }
  return steps;
}

/** A folder of the program as it is unpacked, whose `data` is its own. */
function unpacked(): string {
  const folder = mkdtempSync(join(tmpdir(), 'step-by-step-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  for (const name of ['package.json', 'tsconfig.json', 'node_modules', 'server', 'src', 'seed', 'views', 'migrations'])
    symlinkSync(join(root, name), join(folder, name));
  return folder;
}

function ledgerOfStep(step: string, file: string): void {
  mkdirSync(join(file, '..'), { mode: 0o700 });
  const made = new Database(file);
  made.pragma('foreign_keys = OFF');
  made.transaction(() => made.exec(readFileSync(join(root, `tests/cases/schema/${step}.sql`), 'utf8')))();
  made.close();
}

function exported(file: string): string {
  const db = openDatabase(file);
  try {
    return writeLedgerFile(db, plainDate('2026-01-15'));
  } finally {
    closeDatabase(db);
  }
}

async function freePort(): Promise<number> {
  const socket = createSocket().listen(0, '127.0.0.1');
  await once(socket, 'listening');
  const { port } = socket.address() as AddressInfo;
  socket.close();
  await once(socket, 'close');
  return port;
}

const ownAddresses = Object.values(networkInterfaces())
  .flat()
  .filter((one) => one !== undefined && !one.internal && one.family === 'IPv4')
  .map((one) => one!.address);

// A terminal, so that the password is asked for: what is typed comes from standard input once it was asked.
const inTerminal = `
import os, pty, sys
answers = sys.stdin.readlines()
pid, terminal = pty.fork()
if pid == 0: os.execvp('sh', ['sh', '-c', sys.argv[1]])
told = b''
try:
    while True:
        piece = os.read(terminal, 4096)
        if not piece: break
        told += piece
        if answers and told.endswith(b': '): os.write(terminal, answers.pop(0).encode())
except OSError: pass
os.write(1, told)
sys.exit(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]))`;

// Refuses sockets of other kinds as RestrictAddressFamilies= of systemd does: a filter of system calls (x86-64, arm64) that answers EAFNOSUPPORT.
const withFamilies = `
import ctypes, os, platform, socket, struct, sys
families = [getattr(socket, name) for name in sys.argv[1].split()]
call = {'x86_64': 41, 'aarch64': 198}[platform.machine()]
one = lambda code, value, yes=0, no=0: struct.pack('HBBI', code, yes, no, value)
steps = [one(0x20, 0), one(0x15, call, 0, len(families) + 2), one(0x20, 16)]
steps += [one(0x15, family, len(families) - at, 0) for at, family in enumerate(families)]
steps += [one(0x06, 0x00050000 | 97), one(0x06, 0x7fff0000)]
text = ctypes.create_string_buffer(b''.join(steps))
filter = ctypes.create_string_buffer(struct.pack('HxxxxxxQ', len(steps), ctypes.addressof(text)))
libc = ctypes.CDLL(None)
assert libc.prctl(38, 1, 0, 0, 0) == 0 and libc.prctl(22, 2, filter, 0, 0) == 0
os.execvp('sh', ['sh', '-c', 'exec ' + sys.argv[2]])`;

/** What npm prints itself, and colours and the ends of lines of a terminal, are left out. */
function linesOf(text: string): string[] {
  const lines = text.replace(/\r/g, '').split('\n');
  const own = lines
    .filter((line) => !/^> (basking-ledger@|node )|^npm notice/.test(line))
    .map((line) => line.trimEnd());
  return own.filter((line) => line !== '');
}

/** Runs commands in a folder as a person would in two terminals: what serves goes on until it is told to end. */
function terminalIn(folder: string, port: number) {
  const environment = {
    ...{ PATH: process.env.PATH ?? '', HOME: folder, PORT: String(port), TZ: 'UTC' },
    ...{ npm_config_update_notifier: 'false', npm_config_progress: 'false', NO_COLOR: '1' },
  };
  const options = { cwd: folder, env: environment };
  let serving: ChildProcess | null = null;
  onTestFinished(() => void (serving?.pid === undefined || serving.exitCode !== null || end(serving, 'SIGKILL')));
  const end = (program: ChildProcess, signal: NodeJS.Signals) => process.kill(-program.pid!, signal);
  return {
    run(command: string): string[] {
      const { stdout, stderr } = command.endsWith('npm run password')
        ? spawnSync('python3', ['-c', inTerminal, command], {
            ...options,
            encoding: 'utf8',
            input: `${PASSWORD}\n${PASSWORD}\n`,
          })
        : spawnSync('sh', ['-c', `${command} 2>&1`], { ...options, encoding: 'utf8' });
      return linesOf(stdout + stderr);
    },
    /** Begins what serves pages and waits until it said where, in so many lines, or ended. */
    async serve(command: string, lines: number): Promise<string[]> {
      const program = spawn('sh', ['-c', `${command} 2>&1`], { ...options, detached: true });
      serving = program;
      let told = '';
      for await (const piece of program.stdout!) {
        told += String(piece);
        if (told.includes('is at http') && linesOf(told).length >= lines && told.endsWith('\n')) break;
      }
      // Nobody reads what is logged from here on, which must not end the program.
      program.stdout!.destroy();
      return linesOf(told);
    },
    /** Presses Ctrl and C, which every program of the terminal gets, and waits until all have ended. */
    async interrupt(): Promise<void> {
      const program = serving!;
      const ended = once(program, 'exit');
      end(program, 'SIGINT');
      await ended;
      serving = null;
      await expect.poll(() => isServed(port), { timeout: 20_000 }).toBe(false);
    },
  };
}

const isServed = (port: number) =>
  fetch(`http://127.0.0.1:${port}/health`).then(
    () => true,
    () => false,
  );

/** A proxy as the document asks for: it passes the Host on, and says who asks. Gives its port. */
async function proxyOf(port: number, host: string): Promise<number> {
  const proxy = createServer((incoming, outgoing) => {
    const headers = { ...incoming.headers, host, 'x-forwarded-for': '203.0.113.7' };
    const passed = request(
      { port, host: '127.0.0.1', path: incoming.url, method: incoming.method, headers },
      (answer) => {
        outgoing.writeHead(answer.statusCode!, answer.headers);
        answer.pipe(outgoing);
      },
    );
    passed.on('error', () => outgoing.destroy());
    incoming.pipe(passed);
  }).listen(0, '127.0.0.1');
  onTestFinished(() => void proxy.close());
  await once(proxy, 'listening');
  return (proxy.address() as AddressInfo).port;
}

const signIn = (address: string, origin: string) =>
  fetch(`${address}/sign-in`, {
    method: 'POST',
    redirect: 'manual',
    headers: { origin },
    body: new URLSearchParams({ password: PASSWORD, to: '/animals' }),
  });

test('Each command of the steps is run in its order and prints what stands there, from an older ledger to a proxy', async () => {
  const text = readFileSync(document, 'utf8');
  const steps = stepsOf(text);
  expect(steps.length).toBeGreaterThan(15);
  const [folder, port] = [unpacked(), await freePort()];
  const today = new Date().toISOString().slice(0, 10);
  const data = join(folder, 'data');
  ledgerOfStep('0015', join(data, 'ledger.sqlite'));
  const terminal = terminalIn(folder, port);
  const here = (words: string) => words.replaceAll(writtenDay, today).replaceAll(writtenPort, String(port));
  const there = (line: string) =>
    ownAddresses
      .reduce((words, address) => words.replaceAll(address, writtenAddress), line)
      .replaceAll(today, writtenDay)
      .replaceAll(`:${port}/`, `:${writtenPort}/`)
      .replaceAll(`step ${newestStep()}`, writtenStep)
      .replace(/checked: \d{3} rows/, writtenRows);

  /** What must be so after a command besides what it prints, by the beginning of the command; each is looked at once at least. */
  const looks: [RegExp, () => void | Promise<void>][] = [
    [
      /^npm start/,
      async () => {
        expect(statSync(join(data, 'ledger.before-0016.sqlite')).mode & 0o077).toBe(0);
        expect((await fetch(`http://127.0.0.1:${port}/animals`)).status).toBe(200);
      },
    ],
    [/^\^C/, () => void expect(readdirSync(data).filter((name) => /-(wal|shm)$/.test(name))).toEqual([])],
    [
      /^npm run restore.*--replace/,
      () => {
        expect(exported(join(data, 'ledger.sqlite'))).toBe(exported(backup()));
        expect(exported(join(data, `ledger.before-restore-${today}.sqlite`))).toBe(exported(backup()));
      },
    ],
    [
      /^dd /,
      () => {
        damaged = readFileSync(join(folder, 'practice/ledger.sqlite'));
        expect(damaged.equals(readFileSync(join(data, 'ledger.sqlite')))).toBe(false);
      },
    ],
    [
      /^DATA_DIR=practice npm run restore.*--replace/,
      () => {
        expect(exported(join(folder, 'practice/ledger.sqlite'))).toBe(exported(backup()));
        // What is damaged is kept as it is.
        const aside = readFileSync(join(folder, `practice/ledger.set-aside-${today}.sqlite`));
        expect(aside.equals(damaged)).toBe(true);
      },
    ],
    [
      /^DATA_DIR=elsewhere npm run restore.*--replace/,
      () => {
        expect(exported(join(folder, 'elsewhere/ledger.sqlite'))).toBe(exported(backup()));
        expect(readdirSync(join(folder, 'elsewhere')).sort()).toEqual(['ledger.sqlite', 'ledger.sqlite.lock']);
      },
    ],
    [
      /^HOST=0\.0\.0\.0 npm start/,
      async () => {
        if (!(await isServed(port))) return;
        const address = `http://127.0.0.1:${port}`;
        expect((await fetch(`${address}/animals`, { redirect: 'manual' })).headers.get('location')).toMatch(
          /^\/sign-in/,
        );
        expect((await signIn(address, address)).headers.get('location')).toBe('/animals');
      },
    ],
    [
      /^ORIGIN=/,
      async () => {
        const address = `http://127.0.0.1:${await proxyOf(port, 'ledger.example')}`;
        const answer = await signIn(address, 'https://ledger.example');
        expect([answer.status, answer.headers.get('location')]).toEqual([303, '/animals']);
        expect(answer.headers.get('set-cookie')).toMatch(/^__Host-.*; Secure/);
        expect(answer.headers.get('strict-transport-security')).toMatch(/max-age=\d+/);
        // Under another name than the one that people open, nothing is served.
        const other = `http://127.0.0.1:${await proxyOf(port, 'other.example')}`;
        expect((await fetch(`${other}/animals`)).status).toBe(421);
      },
    ],
  ];
  const backup = () => join(data, `backups/ledger-${today}-2.sqlite`);
  let damaged = Buffer.alloc(0);
  const looked = new Set<RegExp>();
  const written = text.split('\n');
  const found: { step: Step; printed: string[] }[] = [];
  for (const step of steps) {
    const command = here(step.command);
    const printed =
      command === '^C'
        ? await terminal.interrupt().then(() => [])
        : /npm start$/.test(command)
          ? await terminal.serve(command, step.printed.length)
          : terminal.run(command);
    found.push({ step, printed: asWritten([...new Set(printed.map(there))], step.printed) });
    for (const [beginning, look] of looks.filter(([beginning]) => beginning.test(command))) {
      looked.add(beginning);
      await look();
    }
  }
  expect(looked.size).toBe(looks.length);
  for (const { step, printed } of found.reverse()) written.splice(step.from, step.lines, ...printed);
  await expect(written.join('\n')).toMatchFileSnapshot(document);
}, 300_000);

/** What was printed, as the document shortens it: '...' stands for lines between its first and its last ones. */
function asWritten(printed: string[], lines: readonly string[]): string[] {
  const gap = lines.indexOf('...');
  if (gap < 0) return printed;
  const last = lines.length - gap - 1;
  return [...printed.slice(0, gap), '...', ...(last === 0 ? [] : printed.slice(-last))];
}

test('The service is started by the command of `npm start`, is stopped in time, and may use what the program needs', async () => {
  const unit = /```ini\n(\[Unit\][\s\S]*?)```/.exec(readFileSync(document, 'utf8'))![1]!;
  const settings = Object.fromEntries([...unit.matchAll(/^(\w+)=(.*)$/gm)].map(([, name, value]) => [name, value!]));
  const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: { start: string } };
  expect(settings.ExecStart).toBe(`/usr/bin/${scripts.start}`);
  // The program takes at most 5 seconds to end.
  expect(Number(settings.TimeoutStopSec)).toBeGreaterThan(5);
  const folder = mkdtempSync(join(tmpdir(), 'service-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  expect(settings.Environment).toBe('DATA_DIR=/var/lib/basking-ledger');
  const environment = { PATH: process.env.PATH ?? '', DATA_DIR: folder, PORT: '0' };
  const set = spawnSync('sh', ['-c', 'npm run -s password'], { cwd: root, env: environment, input: `${PASSWORD}\n` });
  expect(set.status).toBe(0);
  // Every address of the computer is what a service most likely listens to, and asking for them takes a socket of its own kind.
  const command = `umask ${settings.UMask}; ${settings.ExecStart!.replace('/usr/bin/', 'exec ')}`;
  const service = spawn('python3', ['-c', withFamilies, settings.RestrictAddressFamilies!, `sh -c '${command}'`], {
    cwd: root,
    env: { ...environment, HOST: '0.0.0.0' },
  });
  onTestFinished(() => void service.kill('SIGKILL'));
  let [told, faults] = ['', ''];
  service.stderr.on('data', (piece) => {
    faults += piece;
  });
  for await (const piece of service.stdout) {
    told += String(piece);
    if (told.includes('Caution')) break;
  }
  expect(faults).toBe('');
  service.kill('SIGTERM');
  expect((await once(service, 'exit'))[0]).toBe(0);
});

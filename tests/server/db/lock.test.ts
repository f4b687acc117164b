import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { fileSystemAt, fileSystemOf, lockFileOf, takeLock } from '../../../server/db/lock.ts';

function newFile(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return join(folder, 'ledger.sqlite');
}

/** Another process that takes the lock of a file by SQLite alone, says so and waits. */
async function holder(file: string): Promise<ChildProcess> {
  const script = `const db = new (require('better-sqlite3'))(${JSON.stringify(lockFileOf(file))});
    db.exec('BEGIN EXCLUSIVE'); console.log('held'); setInterval(() => {}, 1000);`;
  const child = spawn(process.execPath, ['-e', script], { stdio: ['ignore', 'pipe', 'inherit'] });
  onTestFinished(() => void child.kill('SIGKILL'));
  await new Promise<void>((resolve) => child.stdout.once('data', () => resolve()));
  return child;
}

test('A lock is held against another process until that one is killed, and nothing is left to clear away', async () => {
  const file = newFile();
  const child = await holder(file);
  expect(takeLock(file)).toBeNull();
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGKILL');
  await ended;
  const lock = takeLock(file);
  expect(lock).not.toBeNull();
  expect(statSync(lockFileOf(file)).size).toBe(0);
  lock!.release();
});

test('A lock is held against the same process too', () => {
  const file = newFile();
  const lock = takeLock(file);
  expect(takeLock(file)).toBeNull();
  lock!.release();
  takeLock(file)!.release();
});

// The numbers stand in the table of statfs(2), Linux man-pages: NFS, SMB, CIFS, AFS, Coda; ext4, tmpfs, Btrfs, XFS, overlay; FUSE, 9P.
test.each([
  [0x6969, 'remote'],
  [0x517b, 'remote'],
  [0xff534d42, 'remote'],
  [0xff534d42 | 0, 'remote'],
  [0x5346414f, 'remote'],
  [0x73757245, 'remote'],
  [0xef53, 'local'],
  [0x01021994, 'local'],
  [0x9123683e, 'local'],
  [0x58465342, 'local'],
  [0x794c7630, 'local'],
  [0x65735546, 'unknown'],
  [0x01021997, 'unknown'],
] as const)('The file system %i is %s', (type, where) => {
  expect(fileSystemOf(type)).toBe(where);
});

test('The folder of the tests is on this computer', () => {
  expect(fileSystemAt(tmpdir())).not.toBe('remote');
});

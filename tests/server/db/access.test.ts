import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { type AccessFile, openAccessFile, type SignIn } from '../../../server/db/access.ts';
import { UnusableDatabase } from '../../../server/db/migrate.ts';
import { closeDatabase, openDatabase } from '../../../server/db/open.ts';

function newPath(): string {
  const folder = mkdtempSync(join(tmpdir(), 'access-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return join(folder, 'access.sqlite');
}

function opened(path: string): AccessFile {
  const file = openAccessFile(path);
  onTestFinished(() => file.close());
  return file;
}

const signIn = (digit: string, more: Partial<SignIn> = {}): SignIn => ({
  idHash: digit.repeat(64),
  startedAt: 1000,
  lastSeenAt: 1000,
  address: '192.168.1.5',
  device: 'phone',
  ...more,
});

test('Until a password is set there is no file, and looking makes none', () => {
  const path = newPath();
  const file = opened(path);
  expect([file.passwordHash(), file.findSignIn('a'), file.listSignIns()]).toEqual([null, null, []]);
  file.endSignIn('a');
  file.touchSignIn('a', 1);
  file.endOldSignIns(1, 1);
  expect(file.addSignIn(signIn('a'), 'hash')).toBe(false);
  expect(existsSync(path)).toBe(false);
});

test('What one program sets, another that looked before finds, and only the owner of the file may read it', () => {
  const path = newPath();
  const [program, command] = [opened(path), opened(path)];
  expect(program.passwordHash()).toBeNull();
  command.changePassword('first', 1000);
  expect(program.passwordHash()).toBe('first');
  expect(statSync(path).mode & 0o077).toBe(0);
  expect(program.addSignIn(signIn('a'), 'first')).toBe(true);
  expect(command.listSignIns()).toEqual([signIn('a')]);
  command.changePassword('second', 2000);
  expect([program.passwordHash(), program.listSignIns()]).toEqual(['second', []]);
  // The old hash is not left in the pages of the file.
  expect(readFileSync(path, 'latin1')).not.toContain('first');
  command.changePassword(null, 3000);
  expect(program.passwordHash()).toBeNull();
});

test('A sign-in is kept only for the password that it was tried against', () => {
  const file = opened(newPath());
  file.changePassword('new', 1000);
  expect(file.addSignIn(signIn('a'), 'old')).toBe(false);
  expect(file.addSignIn(signIn('a'), 'new')).toBe(true);
  file.changePassword(null, 1000);
  expect(file.addSignIn(signIn('b'), 'new')).toBe(false);
  expect(file.listSignIns()).toEqual([]);
});

test('Sign-ins end one by one, all but one, or by their age', () => {
  const file = opened(newPath());
  file.changePassword('hash', 1000);
  const all = [
    signIn('a', { startedAt: 100, lastSeenAt: 900 }),
    signIn('b', { startedAt: 500, lastSeenAt: 600 }),
    signIn('c', { startedAt: 700, lastSeenAt: 700 }),
    signIn('d'),
  ];
  for (const one of all) file.addSignIn(one, 'hash');
  const left = () => file.listSignIns().map((one) => one.idHash[0]);
  expect(left()).toEqual(['d', 'a', 'c', 'b']);
  file.endOldSignIns(101, 601);
  expect(left()).toEqual(['d', 'c']);
  file.touchSignIn('c'.repeat(64), 2000);
  expect(left()).toEqual(['c', 'd']);
  expect(file.endOtherSignIns('c'.repeat(64))).toBe(1);
  file.endSignIn('c'.repeat(64));
  expect(left()).toEqual([]);
});

test('A file that is emptied, damaged, of another program or of a newer one is refused and left as it is', () => {
  const path = newPath();
  const file = openAccessFile(path);
  file.changePassword('hash', 1000);
  file.close();
  const good = readFileSync(path);
  const newer = new Database(path);
  newer.pragma('user_version = 2');
  newer.close();
  const newerContent = readFileSync(path);
  closeDatabase(openDatabase(`${path}.ledger`));
  const contents = {
    emptied: Buffer.alloc(0),
    text: Buffer.from('not a database, but long enough to look at'),
    cut: good.subarray(0, good.length - 4096),
    overwritten: Buffer.concat([good.subarray(0, 4200), Buffer.alloc(4096, 0xff), good.subarray(8296)]),
    newer: newerContent,
    ledger: readFileSync(`${path}.ledger`),
  };
  for (const [name, content] of Object.entries(contents)) {
    writeFileSync(path, content);
    const other = openAccessFile(path);
    expect(() => other.passwordHash(), name).toThrow(UnusableDatabase);
    expect(() => other.passwordHash(), name).toThrow(/npm run password/);
    expect(readFileSync(path).equals(content), name).toBe(true);
    other.close();
  }
  writeFileSync(path, good);
  expect(opened(path).passwordHash()).toBe('hash');
});

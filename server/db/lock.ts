// What it takes to have a ledger's file alone: a lock that the system holds for as long as the program lives, and a file system on which
// such locks mean something.

import { statfsSync } from 'node:fs';
import Database from 'better-sqlite3';
import { UnusableDatabase } from './migrate.ts';

/** A lock that is held until it is released, or until the process ends in whatever way. */
export type Lock = { release: () => void };

/** The name of the empty file beside a ledger's file that is locked in its place, so that others can still read the ledger. */
export function lockFileOf(file: string): string {
  return `${file}.lock`;
}

/**
 * Takes the lock of a ledger's file at once, or gives null when another process, or another opening in this one, has it. The lock file is
 * made when absent and stays: only the system's lock on it counts, which ends with its process. Throws SqliteError when it cannot be made,
 * and UnusableDatabase when something else lies in its place.
 */
export function takeLock(file: string): Lock | null {
  const client = new Database(lockFileOf(file), { timeout: 0 });
  try {
    // A transaction that writes nothing leaves the file empty and no journal beside it.
    client.exec('BEGIN EXCLUSIVE');
    return { release: () => client.close() };
  } catch (problem) {
    client.close();
    if (problem instanceof Database.SqliteError && problem.code.startsWith('SQLITE_BUSY')) return null;
    if (problem instanceof Database.SqliteError && /^SQLITE_(NOTADB|CORRUPT)/.test(problem.code))
      throw new UnusableDatabase(
        `${lockFileOf(file)} is not the empty file that belongs there. Move it away and try again.`,
      );
    throw problem;
  }
}

/** What is known of a folder's file system: 'remote' lies on another computer, 'unknown' may. */
export type FileSystem = 'local' | 'remote' | 'unknown';

// The numbers by which Linux names file systems: statfs(2) of the Linux man-pages and include/uapi/linux/magic.h, from memory of both,
// check before relying on it. Those on another computer do not keep SQLite's promises (sqlite.org/wal.html, sqlite.org/howtocorrupt.html).
const REMOTE: ReadonlySet<number> = new Set([
  0x6969, // NFS
  0x517b, // SMB
  0xff534d42, // CIFS
  0xfe534d42, // SMB 2
  0x5346414f, // AFS
  0x73757245, // Coda
  0x00c36400, // Ceph
  0x0bd00bd0, // Lustre
  0x01161970, // GFS2
  0x7461636f, // OCFS2
]);

// A program stands between (FUSE), or a host computer does (9P, vboxsf): they may or may not lead elsewhere.
const UNKNOWN: ReadonlySet<number> = new Set([0x65735546, 0x01021997, 0x786f4256]);

/** Tells a file system by the number that Linux gives it. */
export function fileSystemOf(type: number): FileSystem {
  // The number may come with its sign, as a 32-bit word.
  const number = type >>> 0;
  return REMOTE.has(number) ? 'remote' : UNKNOWN.has(number) ? 'unknown' : 'local';
}

/** Tells the file system of a folder; 'local' where the system does not say. */
export function fileSystemAt(folder: string): FileSystem {
  return process.platform === 'linux' ? fileSystemOf(statfsSync(folder).type) : 'local';
}

// The file that holds what is kept of the password and of those who are signed in. It lies beside the ledger and is no part of it, so that
// no export, copy, import or restore of a ledger lets anyone in or locks the keeper out.

import { existsSync } from 'node:fs';
import Database from 'better-sqlite3';
import { UnusableDatabase } from './migrate.ts';

/** From what somebody signed in, as far as the browser says. */
export type Device = 'phone' | 'computer';

/** Somebody who is signed in. Moments are milliseconds since 1970; of the id in the browser's cookie only the SHA-256 is kept. */
export type SignIn = {
  idHash: string;
  startedAt: number;
  /** When it was last used, to some minutes. */
  lastSeenAt: number;
  address: string;
  device: Device;
};

/** What is kept. Another program, such as the command that sets the password, may change it at any moment. */
export type AccessFile = {
  /** The hash of the password, or null while none is set. */
  passwordHash: () => string | null;
  /** Keeps another password, or none, and ends every sign-in. */
  changePassword: (hash: string | null, at: number) => void;
  /** Keeps a sign-in, unless the password has changed since it was tried; says whether it did. */
  addSignIn: (signIn: SignIn, passwordHash: string) => boolean;
  findSignIn: (idHash: string) => SignIn | null;
  /** Everyone who is signed in, the last used first. */
  listSignIns: () => SignIn[];
  touchSignIn: (idHash: string, at: number) => void;
  endSignIn: (idHash: string) => void;
  /** Ends all but one, and says how many. */
  endOtherSignIns: (idHash: string) => number;
  /** Ends those that were begun, or last used, before a moment. */
  endOldSignIns: (startedBefore: number, lastSeenBefore: number) => void;
  close: () => void;
};

// 'BLac' in ASCII.
const APPLICATION_ID = 0x424c6163;

const tables = `
  CREATE TABLE password (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    hash TEXT NOT NULL CHECK (hash <> ''),
    set_at INTEGER NOT NULL
  ) STRICT;
  CREATE TABLE sign_ins (
    id_hash TEXT PRIMARY KEY CHECK (length(id_hash) = 64),
    started_at INTEGER NOT NULL,
    last_seen_at INTEGER NOT NULL,
    address TEXT NOT NULL,
    device TEXT NOT NULL CHECK (device IN ('phone', 'computer'))
  ) STRICT, WITHOUT ROWID;
  PRAGMA application_id = ${APPLICATION_ID};
  PRAGMA user_version = 1;
`;

const columns =
  'id_hash AS idHash, started_at AS startedAt, last_seen_at AS lastSeenAt, address AS address, device AS device';

/**
 * Opens the file once it is there; until a password was set there is none, and nothing is made. ':memory:' lives in memory only. Every
 * function throws UnusableDatabase, with a sentence for the person who started the program, when the file is damaged or not ours.
 */
export function openAccessFile(file: string): AccessFile {
  let opened: Database.Database | null = null;

  function there(): Database.Database | null {
    if (opened === null && file !== ':memory:' && existsSync(file)) opened = openAndCheck(file, false);
    return opened;
  }

  return {
    passwordHash: () => {
      const row = there()?.prepare<[], { hash: string }>('SELECT hash FROM password').get();
      return row?.hash ?? null;
    },
    changePassword: (hash, at) => {
      opened ??= openAndCheck(file, true);
      const client = opened;
      client
        .transaction(() => {
          client.prepare('DELETE FROM sign_ins').run();
          client.prepare('DELETE FROM password').run();
          if (hash !== null) client.prepare('INSERT INTO password (id, hash, set_at) VALUES (1, ?, ?)').run(hash, at);
        })
        .immediate();
    },
    addSignIn: ({ idHash, startedAt, lastSeenAt, address, device }, passwordHash) => {
      const client = there();
      if (client === null) return false;
      return (
        client
          .prepare(
            `INSERT INTO sign_ins (id_hash, started_at, last_seen_at, address, device)
             SELECT ?, ?, ?, ?, ? FROM password WHERE hash = ?`,
          )
          .run(idHash, startedAt, lastSeenAt, address, device, passwordHash).changes === 1
      );
    },
    findSignIn: (idHash) =>
      there()?.prepare<[string], SignIn>(`SELECT ${columns} FROM sign_ins WHERE id_hash = ?`).get(idHash) ?? null,
    listSignIns: () =>
      there()?.prepare<[], SignIn>(`SELECT ${columns} FROM sign_ins ORDER BY last_seen_at DESC, id_hash`).all() ?? [],
    touchSignIn: (idHash, at) => {
      there()?.prepare('UPDATE sign_ins SET last_seen_at = ? WHERE id_hash = ?').run(at, idHash);
    },
    endSignIn: (idHash) => {
      there()?.prepare('DELETE FROM sign_ins WHERE id_hash = ?').run(idHash);
    },
    endOtherSignIns: (idHash) => there()?.prepare('DELETE FROM sign_ins WHERE id_hash <> ?').run(idHash).changes ?? 0,
    endOldSignIns: (startedBefore, lastSeenBefore) => {
      there()
        ?.prepare('DELETE FROM sign_ins WHERE started_at < ? OR last_seen_at < ?')
        .run(startedBefore, lastSeenBefore);
    },
    close: () => {
      opened?.close();
      opened = null;
    },
  };
}

function openAndCheck(file: string, mayMake: boolean): Database.Database {
  // Other users of the computer may not read it.
  const umaskBefore = process.umask(0o077);
  try {
    const client = new Database(file);
    try {
      settle(client, mayMake);
      return client;
    } catch (problem) {
      client.close();
      throw problem;
    }
  } catch (problem) {
    if (problem instanceof Database.SqliteError) throw unusable(file, problem);
    throw problem;
  } finally {
    process.umask(umaskBefore);
  }
}

function settle(client: Database.Database, mayMake: boolean): void {
  client.pragma('busy_timeout = 5000');
  client.pragma('trusted_schema = OFF');
  client.pragma('secure_delete = ON');
  client.pragma('synchronous = FULL');
  const count = client.prepare<[], { count: number }>('SELECT count(*) AS count FROM sqlite_schema').get()!.count;
  // A file that was emptied must not pass for one without a password.
  if (count === 0 && !mayMake) throw unusable(client.name);
  if (count === 0) client.transaction(() => client.exec(tables)).immediate();
  if (client.pragma('application_id', { simple: true }) !== APPLICATION_ID) throw unusable(client.name);
  if (client.pragma('user_version', { simple: true }) !== 1) throw unusable(client.name);
  if (client.pragma('quick_check', { simple: true }) !== 'ok') throw unusable(client.name);
}

function unusable(file: string, cause?: unknown): UnusableDatabase {
  return new UnusableDatabase(
    `${file}, which holds the password and who is signed in, cannot be used, so nobody is let in. ` +
      'Move it away and set a password again with npm run password; the ledger itself is another file and is not touched.',
    { cause },
  );
}

// The commands of the program, run as a person runs them, each in a data folder of its own.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** An empty data folder that is gone after the test. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** Makes the runner of a program of server/: it takes the data folder and the options, and gives the exit code and what was printed. */
export function commandOf(program: string) {
  return (folder: string, ...options: string[]) => {
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      ['--import', 'tsx', `server/${program}`, ...options],
      { env: { PATH: process.env.PATH ?? '', DATA_DIR: folder }, encoding: 'utf8' },
    );
    return { status, stdout, stderr };
  };
}

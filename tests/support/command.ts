// The commands of the program, run as a person runs them, each in a data folder of its own.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, onTestFinished } from 'vitest';
import { writeInOneFile } from './one-file.ts';

/** An empty data folder that is gone after the test. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/**
 * Makes the runner of a program of server/: it takes the data folder and the options, and gives the exit code and what was printed. The first
 * run is of the sources, as `npm run` starts them; the others are of the same program in one file, which starts in a third of the time.
 */
export async function commandOf(program: string) {
  const built = mkdtempSync(join(tmpdir(), 'command-'));
  afterAll(() => rmSync(built, { recursive: true }));
  const inOneFile = join(built, 'program.mjs');
  await writeInOneFile(`server/${program}`, inOneFile);
  let how = ['--import', 'tsx', `server/${program}`];
  return (folder: string, ...options: string[]) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [...how, ...options], {
      env: { PATH: process.env.PATH ?? '', DATA_DIR: folder },
      encoding: 'utf8',
    });
    how = [inOneFile];
    return { status, stdout, stderr };
  };
}

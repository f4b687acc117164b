// Faults and sudden ends at every step of a piece of work: each statement that SQLite is given and each change of a file is a step, before
// which a test may throw, or copy the folder as a process that is killed there would leave it.

import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import Database from 'better-sqlite3';

const FILE_STEPS = ['renameSync', 'rmSync', 'mkdirSync', 'fsyncSync', 'openSync'] as const;

type Method = (this: unknown, ...given: unknown[]) => unknown;

/** Does a piece of work with `before` called ahead of each of its steps, with the number of the step from 1. */
export function atEachStep<Result>(before: (step: number) => void, work: () => Result): Result {
  const sample = new Database(':memory:');
  const statements = Object.getPrototypeOf(sample.prepare('SELECT 1')) as Record<string, Method>;
  sample.close();
  const places: { holder: Record<string, Method>; name: string; own: Method }[] = [
    ...FILE_STEPS.map((name) => ({ holder: fs as unknown as Record<string, Method>, name })),
    ...['exec', 'pragma'].map((name) => ({ holder: Database.prototype as unknown as Record<string, Method>, name })),
    { holder: statements, name: 'run' },
  ].map(({ holder, name }) => ({ holder, name, own: holder[name]! }));
  let steps = 0;
  let isInside = false;
  for (const { holder, name, own } of places) {
    holder[name] = function (this: unknown, ...given: unknown[]) {
      // What the test itself does in between is no step.
      if (!isInside) {
        isInside = true;
        try {
          before(++steps);
        } finally {
          isInside = false;
        }
      }
      return own.apply(this, given);
    };
  }
  syncBuiltinESMExports();
  try {
    return work();
  } finally {
    for (const { holder, name, own } of places) holder[name] = own;
    syncBuiltinESMExports();
  }
}

/** How many steps a piece of work has. */
export function countSteps(work: () => unknown): number {
  let count = 0;
  atEachStep((step) => {
    count = step;
  }, work);
  return count;
}

/** At most so many of the steps 1 to count, evenly, with the first and the last. */
export function someSteps(count: number, most: number): number[] {
  if (count <= most) return Array.from({ length: count }, (_, place) => place + 1);
  return Array.from({ length: most }, (_, place) => 1 + Math.round((place * (count - 1)) / (most - 1)));
}

/** Copies a folder with all it holds. Node's own way keeps to whatever the file functions are when it is first used, faults and all. */
export function copyFolder(from: string, to: string): void {
  fs.mkdirSync(to, { recursive: true });
  for (const entry of fs.readdirSync(from, { withFileTypes: true })) {
    const [source, target] = [join(from, entry.name), join(to, entry.name)];
    if (entry.isDirectory()) copyFolder(source, target);
    else fs.copyFileSync(source, target);
  }
}

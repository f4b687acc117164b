// How a thread of its own is begun with a file of ours. A new thread knows no TypeScript, whatever the program was started with, so it
// first learns it.

import { Worker } from 'node:worker_threads';

/** A thread that runs a TypeScript file, by its address, with data of the shape that the file expects. */
export function startThread(file: string, workerData: unknown): Worker {
  const reader = import.meta.resolve('tsx/esm/api');
  const script = `import(${JSON.stringify(reader)}).then((tsx) => tsx.tsImport(${JSON.stringify(file)}, ${JSON.stringify(file)}))`;
  return new Worker(script, { eval: true, workerData, execArgv: [] });
}

// How a thread of its own is begun with a file of ours. A new thread knows no TypeScript, whatever the program was started with, so it
// first learns it; or it runs what the file was written into when the program was (see start.js).

import { basename } from 'node:path';
import { Worker } from 'node:worker_threads';

/**
 * How large the memory of a thread may become, in megabytes, engines written for the browser's machine apart, which cannot take more than
 * 4 GB. A plan of 200 animals takes well under half of it.
 */
const THREAD_MEGABYTES = 2048;

/** Whether a thread was ended because its memory became too large; nothing else was harmed. */
export function isOutOfMemory(fault: unknown): boolean {
  return fault instanceof Error && (fault as NodeJS.ErrnoException).code === 'ERR_WORKER_OUT_OF_MEMORY';
}

/** A thread that runs a TypeScript file, by its address, with data of the shape that the file expects. */
export function startThread(file: string, workerData: unknown, megabytes: number = THREAD_MEGABYTES): Worker {
  const isWritten = import.meta.url.endsWith('.js');
  const reader = isWritten ? '' : import.meta.resolve('tsx/esm/api');
  const script = `import(${JSON.stringify(reader)}).then((tsx) => tsx.tsImport(${JSON.stringify(file)}, ${JSON.stringify(file)}))`;
  const beside = new URL(`./${basename(file, '.ts')}.js`, import.meta.url);
  return new Worker(isWritten ? beside : script, {
    eval: !isWritten,
    workerData,
    execArgv: [],
    resourceLimits: { maxOldGenerationSizeMb: megabytes },
  });
}

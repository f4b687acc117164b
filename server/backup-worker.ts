// The thread in which a large ledger is copied and the copy checked, so that pages are answered meanwhile.

import { platform, setPriority } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import { type CopyTask, copied } from './backups.ts';
import { copyVerifiedBeside } from './db/verified-copy.ts';

/** How far the thread stands behind the one that answers pages, as Linux counts it. */
const GIVES_WAY = 5;

const { file, target } = workerData as CopyTask;
if (platform() === 'linux') setPriority(GIVES_WAY);
parentPort!.postMessage(copied(() => copyVerifiedBeside(file, target), { target }));

// The thread in which a question about the collection is answered, so that pages are answered meanwhile. It has no clock: each of its two
// plans goes on until it is proved best or the thread is told to stop.

import { platform, setPriority } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import { answerQuestion, completeQuestion } from '../src/cap-questions.ts';
import { bestPlan } from '../src/planner.ts';
import type { AskNews, AskTask } from './asking.ts';

/** How far the thread stands behind the one that answers pages, as Linux counts it. */
const GIVES_WAY = 5;

const { question, asked, start, ends } = workerData as AskTask;
const tell = (news: AskNews): void => parentPort!.postMessage(news);
if (platform() === 'linux') setPriority(GIVES_WAY);

let plans = 0;
const completed = completeQuestion(question);
const outcome = await answerQuestion(
  completed,
  asked,
  start,
  (problem, from) => {
    const mine = ++plans;
    return bestPlan(problem, { start: from, exact: 'full', stop: () => Atomics.load(ends, 0) >= mine });
  },
  (stage) => tell({ news: 'stage', stage }),
);
tell({ news: 'done', question: completed, outcome });

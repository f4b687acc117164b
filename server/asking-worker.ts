// The thread in which a question about the collection is answered, so that pages are answered meanwhile. It has no clock: each of its
// plans goes on until it is proved best or the thread is told to end the stage it belongs to.

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

let stages = 0;
const completed = completeQuestion(question);
const outcome = await answerQuestion(
  completed,
  asked,
  start,
  (problem, from) => bestPlan(problem, { start: from, exact: 'full', stop: isEnded }),
  (stage) => {
    stages++;
    tell({ news: 'stage', stage });
  },
  isEnded,
);
tell({ news: 'done', question: completed, outcome });

function isEnded(): boolean {
  return Atomics.load(ends, 0) >= stages;
}

// How a question about the collection is answered without holding anybody up: the facts are gathered, a thread of its own plans twice, and what
// came of it is kept. The only file that knows that thread and how long it may take.

import type { Worker } from 'node:worker_threads';
import type { PlainDate } from '../src/calendar.ts';
import { dateOfInstant } from '../src/calendar.ts';
import type { CapOutcome, CapQuestion, PosedQuestion, QuestionFacts } from '../src/cap-questions.ts';
import type { Buy } from '../src/problem.ts';
import type { CareLibrary } from '../src/species.ts';
import { gatherCap } from './cap.ts';
import { keepQuestion, readCap } from './db/cap.ts';
import { ledgerVersion, readLedger } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import { type Db, inTransaction } from './db/open.ts';
import { latestPlan } from './db/plans.ts';
import { gatherFacts, PLANNING_MILLISECONDS } from './planning.ts';
import { startThread } from './typescript-thread.ts';

const ASKING_THREAD = new URL('./asking-worker.ts', import.meta.url).href;

/** How long the thread may take to end after it was asked to, in milliseconds. */
const ENDING_MILLISECONDS = 15_000;

/** The stages of an answer that are ended one by one, in their order. */
const STAGES = { present: 1, changed: 2, when: 3 } as const;
const ALL_STAGES = 3;

/** What the thread is given. `ends[0]` tells how many of the three stages are to end with what there is. */
export type AskTask = { question: PosedQuestion; asked: QuestionFacts; start: Buy[]; ends: Int32Array };

/** What the thread tells: which plan it looks for, and at last what came of the question. */
export type AskNews =
  | { news: 'stage'; stage: keyof typeof STAGES }
  | { news: 'done'; question: CapQuestion; outcome: CapOutcome };

/** How far the question under way has come. */
export type AskProgress = {
  question: PosedQuestion;
  startedAt: Date;
  stage: 'reading' | keyof typeof STAGES | 'ending';
};

/** What became of the question asked last. */
type AskEnd = { status: 'answered'; id: string } | { status: 'failed' };

/** The questions of one ledger, one at a time. */
export type Asking = {
  /** Begins to answer a question; one under way is given up for it. */
  ask: (question: PosedQuestion) => void;
  /** Asks the question under way to end with what it has. */
  stop: () => void;
  progress: () => AskProgress | null;
  last: () => AskEnd | null;
  /** Resolves once nothing is under way. */
  ended: () => Promise<void>;
  close: () => Promise<void>;
};

/** The questions of a ledger for an application that goes on answering meanwhile. */
export function openAsking({
  db,
  library,
  now,
  milliseconds = PLANNING_MILLISECONDS,
  logFault,
}: {
  db: Db;
  library: () => CareLibrary;
  now: () => Date;
  milliseconds?: number | undefined;
  logFault: (fault: unknown) => void;
}): Asking {
  let running: { progress: AskProgress; worker: Worker; stop: () => void; ended: Promise<void> } | null = null;
  let last: AskEnd | null = null;

  function begin(question: PosedQuestion): void {
    const startedAt = now();
    const today: PlainDate = dateOfInstant(startedAt, readLedger(db).timeZone);
    const facts = gatherFacts(db, library(), today);
    const { upkeep, settings, version: capVersion } = readCap(db);
    const plan = latestPlan(db);
    const version = ledgerVersion(db);
    const { currency } = readLedger(db);
    const ends = new Int32Array(new SharedArrayBuffer(4));
    const start =
      plan !== null && 'buys' in plan.answer && plan.firstMonth === facts.firstMonth ? plan.answer.buys : [];
    const gate = question.ask === 'one-more' ? gatherCap(db, library(), startedAt).facts : null;
    const asked: QuestionFacts = { facts, money: readMoneyFacts(db, today), upkeep, settings, gate };
    const worker = startThread(ASKING_THREAD, { question, asked, start, ends } satisfies AskTask);
    const timers: NodeJS.Timeout[] = [];
    const progress: AskProgress = { question, startedAt, stage: 'reading' };
    let resolve: () => void = () => undefined;
    const mine = { progress, worker, stop, ended: new Promise<void>((done) => (resolve = done)) };
    running = mine;
    last = null;
    worker.on('message', (news: AskNews) => {
      if (running !== mine) return;
      try {
        if (news.news === 'stage') {
          if (progress.stage !== 'ending') progress.stage = news.stage;
          endTimers();
          timers.push(setTimeout(() => endPlans(STAGES[news.stage]), milliseconds));
          return;
        }
        const kept = { askedOn: today, firstMonth: facts.firstMonth, ledgerVersion: version, currency };
        const { question: completed, outcome } = news;
        const id = inTransaction(db, (tx) =>
          keepQuestion(tx, { ...kept, question: { ...completed, capVersion }, outcome }),
        );
        finish({ status: 'answered', id });
      } catch (fault) {
        logFault(fault);
        finish({ status: 'failed' });
      }
    });
    worker.on('error', (fault) => {
      logFault(fault);
      finish({ status: 'failed' });
    });
    worker.on('exit', () => finish({ status: 'failed' }));

    function endPlans(count: number): void {
      if (Atomics.load(ends, 0) < count) Atomics.store(ends, 0, count);
      timers.push(
        setTimeout(() => {
          if (count >= STAGES.changed) finish({ status: 'failed' });
        }, ENDING_MILLISECONDS),
      );
    }
    function stop(): void {
      progress.stage = 'ending';
      endPlans(ALL_STAGES);
    }
    function endTimers(): void {
      for (const timer of timers.splice(0)) clearTimeout(timer);
    }
    function finish(end: AskEnd): void {
      endTimers();
      if (running === mine) {
        running = null;
        last = end;
      }
      resolve();
      void worker.terminate();
    }
  }

  const giveUp = async (): Promise<void> => {
    const under = running;
    running = null;
    await under?.worker.terminate();
  };
  return {
    ask(question) {
      void giveUp();
      begin(question);
    },
    stop: () => running?.stop(),
    progress: () => (running === null ? null : { ...running.progress }),
    last: () => last,
    ended: async () => {
      while (running !== null) await running.ended;
    },
    close: giveUp,
  };
}

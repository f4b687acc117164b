// How a ledger becomes a plan without holding anybody up: facts are gathered, a thread of its own decides, and what came of it is saved
// in one transaction. The only file that knows the thread, how long it may take, and that one plan at a time is made.

import type { Worker } from 'node:worker_threads';
import { budgetOf } from '../src/budget.ts';
import type { PlainDate } from '../src/calendar.ts';
import { dateOfInstant, monthOf, monthsBetween } from '../src/calendar.ts';
import type { LedgerFacts } from '../src/ledger-problem.ts';
import type { PlanAnswer } from '../src/planner.ts';
import type { Buy } from '../src/problem.ts';
import type { CareLibrary } from '../src/species.ts';
import { loadCollection } from './db/collection.ts';
import { ledgerVersion, readLedger } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import type { Db, Session } from './db/open.ts';
import { inTransaction } from './db/open.ts';
import { latestPlan, savePlan } from './db/plans.ts';
import { listUpgrades } from './db/upgrades.ts';
import type { PlanNews, PlanTask } from './roadmap-worker.ts';
import { valueChoicesOf } from './scores.ts';
import { startThread } from './typescript-thread.ts';

const PLANNING_THREAD = new URL('./roadmap-worker.ts', import.meta.url).href;

/** How long a better plan is looked for, in milliseconds, once the problem is written down. */
export const PLANNING_MILLISECONDS = 5_000;

/** How long the thread may take to end after it was asked to, in milliseconds; then it is ended, and the best plan it told of is kept. */
const ENDING_MILLISECONDS = 15_000;

/** How long a second thread may take to draw the plan of one that had to be ended, in milliseconds. */
const DRAWING_MILLISECONDS = 120_000;

/** Why no plan came of planning. */
export type PlanningFailure = 'crashed' | 'nothing-found-in-time' | 'closed';

/** What came of planning: a plan that was saved, or nothing. */
export type PlanningOutcome = { status: 'saved'; planId: string } | { status: 'failed'; failure: PlanningFailure };

/** How far planning has come. `best` is the best answer yet, null before there is any. */
export type PlanningProgress = { startedAt: Date; stage: 'reading' | 'looking' | 'ending'; best: PlanAnswer | null };

/** The planning of one ledger: at most one plan is made at a time. */
export type Planning = {
  /** Begins to plan; does nothing when that is under way already. */
  start: () => void;
  /** Asks the planning under way to end with the best plan it has. */
  stop: () => void;
  /** How far the planning under way has come; null when there is none. */
  progress: () => PlanningProgress | null;
  /** Why the last planning ended without a plan; null when it ended well, or none was begun. */
  lastFailure: () => PlanningFailure | null;
  /** Resolves once no planning is under way. */
  ended: () => Promise<void>;
  /** Ends the planning under way without keeping anything. */
  close: () => Promise<void>;
};

/** Everything that decides a plan made on a day: the months begin with the present one. */
export function gatherFacts(session: Session, library: CareLibrary, today: PlainDate): LedgerFacts {
  const ledger = readLedger(session);
  const firstMonth = monthOf(today);
  const months = ledger.horizonMonths;
  const { openingCash, income, committed, reserve, owned, tailIncome } = budgetOf(
    readMoneyFacts(session, today),
    firstMonth,
    months,
  );
  return {
    collection: loadCollection(session),
    library,
    choices: valueChoicesOf(ledger),
    upgrades: listUpgrades(session),
    money: { openingCash, income, committed, reserve, owned, tailIncome },
    planDate: today,
    firstMonth,
    months,
    creditMonths: ledger.creditMonths,
  };
}

/** Plans a ledger as of a day and saves the plan; for callers that wait. Never rejects for a fault of the planning itself. */
export function planNow(
  db: Db,
  library: CareLibrary,
  today: PlainDate,
  milliseconds: number = PLANNING_MILLISECONDS,
): Promise<PlanningOutcome> {
  return beginPlan({ db, library, today, milliseconds }).outcome;
}

/** The planning of a ledger for an application that goes on answering meanwhile. */
export function openPlanning(parts: {
  db: Db;
  library: CareLibrary;
  now: () => Date;
  milliseconds?: number | undefined;
  logFault: (fault: unknown) => void;
}): Planning {
  const { db, library, now, milliseconds = PLANNING_MILLISECONDS, logFault } = parts;
  let running: { startedAt: Date; plan: RunningPlan } | null = null;
  let failure: PlanningFailure | null = null;
  return {
    start() {
      if (running !== null) return;
      failure = null;
      const startedAt = now();
      const today = dateOfInstant(startedAt, readLedger(db).timeZone);
      const plan = beginPlan({ db, library, today, milliseconds, logFault });
      running = { startedAt, plan };
      plan.outcome.then((outcome) => {
        running = null;
        if (outcome.status === 'failed') failure = outcome.failure;
      });
    },
    stop: () => running?.plan.stop(),
    progress: () => (running === null ? null : { startedAt: running.startedAt, ...running.plan.progress() }),
    lastFailure: () => failure,
    ended: async () => {
      await running?.plan.outcome;
    },
    close: async () => {
      await running?.plan.close();
    },
  };
}

type RunningPlan = {
  outcome: Promise<PlanningOutcome>;
  progress: () => Omit<PlanningProgress, 'startedAt'>;
  stop: () => void;
  close: () => Promise<void>;
};

function beginPlan(parts: {
  db: Db;
  library: CareLibrary;
  today: PlainDate;
  milliseconds: number;
  logFault?: (fault: unknown) => void;
}): RunningPlan {
  const { db, library, today, milliseconds, logFault = () => undefined } = parts;
  const version = ledgerVersion(db);
  const facts = gatherFacts(db, library, today);
  const { currency } = readLedger(db);
  const stop = new Int32Array(new SharedArrayBuffer(4));
  const progress: Omit<PlanningProgress, 'startedAt'> = { stage: 'reading', best: null };
  const timers: NodeJS.Timeout[] = [];
  let worker: Worker;
  let settled = false;
  let redrawing = false;
  let settle: (outcome: PlanningOutcome) => void = () => undefined;
  const outcome = new Promise<PlanningOutcome>((resolve) => {
    settle = (settling) => {
      settled = true;
      for (const timer of timers) clearTimeout(timer);
      resolve(settling);
    };
  });
  const fail = (failure: PlanningFailure) => settle({ status: 'failed', failure });

  const hear = (news: PlanNews): void => {
    switch (news.news) {
      case 'looking':
        // A second thread only draws the plan that the first one found; it has nothing to look for and is not asked to stop.
        if (redrawing) return;
        progress.stage = 'looking';
        timers.push(setTimeout(askToStop, milliseconds));
        return;
      case 'better':
        progress.best = news.answer;
        return;
      case 'done': {
        const { problem, answer, roadmap } = news;
        if (answer.status === 'undecided') {
          fail('nothing-found-in-time');
          return;
        }
        // What changed in the ledger meanwhile does not spoil the plan: the version it carries tells that it is from older facts.
        const planId = inTransaction(db, (tx) =>
          savePlan(tx, {
            madeOn: today,
            firstMonth: facts.firstMonth,
            problem,
            answer,
            roadmap: roadmap === null ? null : { ...roadmap, currency },
            ledgerVersion: version,
          }),
        );
        settle({ status: 'saved', planId });
      }
    }
  };
  const begin = (found: PlanAnswer | null): void => {
    worker = startThread(PLANNING_THREAD, { facts, stop, start: earlierBuys(db, facts), found } satisfies PlanTask);
    const mine = worker;
    worker.on('message', (news: PlanNews) => {
      if (mine !== worker || settled) return;
      try {
        hear(news);
      } catch (fault) {
        logFault(fault);
        fail('crashed');
      }
    });
    worker.on('error', (fault) => {
      logFault(fault);
      if (mine === worker) fail('crashed');
    });
    // A thread that ends by itself has told of its end before, and then this changes nothing.
    worker.on('exit', () => {
      if (mine === worker) fail('crashed');
    });
  };
  const askToStop = (): void => {
    Atomics.store(stop, 0, 1);
    progress.stage = 'ending';
    timers.push(setTimeout(endUnheard, ENDING_MILLISECONDS));
  };
  const endUnheard = (): void => {
    const deaf = worker;
    const { best } = progress;
    if (!redrawing && best !== null && 'buys' in best) {
      redrawing = true;
      begin(best);
      timers.push(setTimeout(endUnheard, DRAWING_MILLISECONDS));
    } else fail('nothing-found-in-time');
    void deaf.terminate();
  };
  begin(null);
  return {
    outcome,
    progress: () => ({ ...progress }),
    stop: () => {
      if (progress.stage !== 'ending') askToStop();
    },
    close: async () => {
      fail('closed');
      await worker.terminate();
    },
  };
}

// The last plan is where the search begins, so that a plan changes no more than its facts do.
function earlierBuys(session: Session, facts: LedgerFacts): Buy[] {
  const last = latestPlan(session);
  if (last === null || !('buys' in last.answer)) return [];
  const passed = monthsBetween(last.firstMonth, facts.firstMonth);
  return last.answer.buys
    .map(({ purchase, month }) => ({ purchase, month: month - passed }))
    .filter(({ month }) => month >= 0);
}

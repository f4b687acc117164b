// How a ledger becomes a plan without holding anybody up: facts are gathered, a thread of its own decides, and what came of it is saved
// in one transaction; then the same thread works out what else there is to know about the plan. The only file that knows the thread, how
// long it may take for each piece, and that one plan at a time is made.

import type { Worker } from 'node:worker_threads';
import { budgetOf } from '../src/budget.ts';
import type { PlainDate } from '../src/calendar.ts';
import { dateOfInstant, monthOf, monthsBetween } from '../src/calendar.ts';
import { monthsAhead } from '../src/choice-effects.ts';
import { type LedgerFacts, type PlanMoney, withPayableFloor } from '../src/ledger-problem.ts';
import type { PartsList } from '../src/parts.ts';
import type { FoundAnswer, PlanAnswer } from '../src/problem.ts';
import { type CareLibrary, judgedBy } from '../src/species.ts';
import { meterPricesIn } from '../src/unsettled.ts';
import { loadCollection } from './db/collection.ts';
import { ledgerVersion, readLedger } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import type { Db, Session } from './db/open.ts';
import { inTransaction } from './db/open.ts';
import { keepFacts, latestPlan, type PlanRecord, savePlan } from './db/plans.ts';
import { STUDY_KINDS, type StudyKind, saveStudy, studiesOf } from './db/studies.ts';
import { listUpgrades } from './db/upgrades.ts';
import type { EarlierPlan, Gains, PlanNews, PlanTask } from './roadmap-worker.ts';
import { valueChoicesOf } from './scores.ts';
import { ALL_STUDIES, PLAN_OVER, STUDIES_OVER } from './studies.ts';
import { isOutOfMemory, startThread } from './typescript-thread.ts';

const PLANNING_THREAD = new URL('./roadmap-worker.ts', import.meta.url).href;

/** How long a better plan is looked for, in milliseconds, once the problem is written down; it ends sooner when it is proved best. */
export const PLANNING_MILLISECONDS = 10_000;

/**
 * How long writing the problem down may take, in milliseconds. Each animal takes about a tenth of a second of a processor, so that this
 * bounds how many can be planned together; then planning ends without a plan, and says so.
 */
const READING_MILLISECONDS = 600_000;

/** How long the thread may take to end after it was asked to, in milliseconds; then it is ended, and the best plan it told of is kept. */
const ENDING_MILLISECONDS = 15_000;

/** How long drawing the roadmap of what was found may take, in milliseconds: about nine seconds of a processor for 200 animals. */
const DRAWING_MILLISECONDS = 120_000;

/** The longest that planning takes until its plan is there, in minutes, a second thread that draws it included. */
export const LONGEST_MINUTES = Math.ceil(
  (READING_MILLISECONDS + PLANNING_MILLISECONDS + ENDING_MILLISECONDS + 2 * DRAWING_MILLISECONDS) / 60_000,
);

/** How long each study of a plan may take, in milliseconds; where nothing else is done on the machine most end long before. */
const STUDY_MILLISECONDS: Readonly<Record<StudyKind, number>> = {
  soonest: 20_000,
  objections: 60_000,
  measuring: 60_000,
  money: 30_000,
  robust: 30_000,
  choices: 30_000,
};

/** How much more time the studies get that were not ended in theirs, when the keeper asks for them again. */
const MORE_TIME = 6;

/** Why no plan came of planning. */
type PlanningFailure = 'crashed' | 'out-of-memory' | 'nothing-found-in-time' | 'stopped' | 'closed';

/** What came of planning: a plan that was saved, or nothing. */
export type PlanningOutcome = { status: 'saved'; planId: string } | { status: 'failed'; failure: PlanningFailure };

/**
 * How far planning has come. `best` is the best answer yet with its plain score points x months, null before there is any; `bare` is the
 * same of buying nothing, null when that breaks a rule or is not known yet.
 */
export type PlanningProgress = {
  startedAt: Date;
  stage: 'reading' | 'looking' | 'ending' | 'drawing';
  /** How many animals are written down, of how many; null before the first is. */
  written: { animals: number; of: number } | null;
  best: { answer: PlanAnswer; points: number | null } | null;
  bare: Gains | null;
};

/** The plan that is being studied, the study under way, and those that are yet to come; the first is null between two studies. */
export type StudyProgress = { planId: string; kind: StudyKind | null; waiting: readonly StudyKind[] };

/** The planning of one ledger: at most one plan is made, or studied, at a time. */
export type Planning = {
  /**
   * Begins to plan. When that is under way already it does nothing, unless the ledger was changed since: then the plan under way ends with
   * what it has, and another follows at once. `afresh` keeps to nothing of the plan before.
   */
  start: (how?: { afresh: boolean }) => void;
  /** Asks the planning under way to end with the best plan it has, at once where it has none yet, or, when a plan is studied, ends that. */
  stop: () => void;
  /** How far the planning under way has come; null when there is none. */
  progress: () => PlanningProgress | null;
  /** Why the last planning ended without a plan; null when it ended well, or none was begun. */
  lastFailure: () => PlanningFailure | null;
  /** Resolves once no plan is looked for; studies of it may go on. */
  ended: () => Promise<void>;
  /** Works out what is missing of the studies of the latest plan, `first` before the others; false when its facts are no longer those of the ledger. */
  study: (how: { moreTime: boolean; first?: StudyKind }) => boolean;
  /** What is being studied; null when nothing is. */
  studying: () => StudyProgress | null;
  /** Resolves once nothing is studied any more. */
  studiesEnded: () => Promise<void>;
  /** Ends what is under way; only studies that were kept before stay. */
  close: () => Promise<void>;
};

/** Everything that decides a plan made on a day: the months begin with the present one. Animals of unknown species are planned without. */
export function gatherFacts(session: Session, library: CareLibrary, today: PlainDate): LedgerFacts {
  const ledger = readLedger(session);
  const firstMonth = monthOf(today);
  const months = ledger.horizonMonths;
  return withPayableFloor({
    collection: judgedBy(library, loadCollection(session)),
    library,
    choices: valueChoicesOf(ledger),
    upgrades: listUpgrades(session),
    money: moneyOver(session, today, months),
    planDate: today,
    firstMonth,
    months,
    creditMonths: ledger.creditMonths,
  });
}

function moneyAheadOf(session: Session, facts: LedgerFacts): PlanMoney {
  const months = monthsAhead(facts.months);
  return withPayableFloor({ ...facts, months, money: moneyOver(session, facts.planDate, months) }).money;
}

function moneyOver(session: Session, today: PlainDate, months: number): PlanMoney {
  const budget = budgetOf(readMoneyFacts(session, today), monthOf(today), months);
  const { openingCash, income, committed, reserve, owned, tailIncome } = budget;
  return { openingCash, income, committed, reserve, owned, tailIncome };
}

/**
 * Plans a ledger as of a day and saves the plan; for callers that wait. Never rejects for a fault of the planning itself. With `study` it
 * waits for the studies too; else there are none. `afresh` leaves the last plan out of account.
 */
export async function planNow(
  db: Db,
  library: CareLibrary,
  today: PlainDate,
  milliseconds: number = PLANNING_MILLISECONDS,
  { study = false, afresh = false }: { study?: boolean; afresh?: boolean } = {},
): Promise<PlanningOutcome> {
  const run = beginPlan({ db, library, today, milliseconds, afresh, studies: study ? STUDY_KINDS : [] });
  const outcome = await run.outcome;
  await run.studied;
  return outcome;
}

/** The planning of a ledger for an application that goes on answering meanwhile. */
export function openPlanning(parts: {
  db: Db;
  /** What species need at the moment a plan begins. */
  library: () => CareLibrary;
  now: () => Date;
  /** What meters cost; without it only those at hand or borrowed are looked into. */
  catalogue?: PartsList;
  milliseconds?: number | undefined;
  /** How large the thread's memory may become; the usual size when not given. */
  megabytes?: number;
  logFault: (fault: unknown) => void;
}): Planning {
  const { db, library, now, catalogue, milliseconds = PLANNING_MILLISECONDS, megabytes, logFault } = parts;
  let running: { startedAt: Date; run: Run; version: number } | null = null;
  let next: { afresh: boolean } | null = null;
  let failure: PlanningFailure | null = null;
  // The last run goes on with its studies after its plan is kept, until the next one begins.
  let last: Run | null = null;
  const start: Planning['start'] = ({ afresh } = { afresh: false }) => {
    const version = ledgerVersion(db);
    if (running !== null) {
      if (running.version === version) return;
      next = { afresh };
      running.run.stop();
      return;
    }
    failure = null;
    void last?.close();
    const startedAt = now();
    const today = dateOfInstant(startedAt, readLedger(db).timeZone);
    const run = beginPlan({
      db,
      library: library(),
      catalogue,
      today,
      milliseconds,
      megabytes,
      logFault,
      afresh,
      studies: STUDY_KINDS,
    });
    running = { startedAt, run, version };
    last = run;
    run.outcome.then((outcome) => {
      const following = next;
      [running, next] = [null, null];
      if (outcome.status === 'failed') failure = outcome.failure;
      if (following !== null && failure !== 'closed') start(following);
    });
  };
  return {
    start,
    stop: () => last?.stop(),
    progress: () => (running === null ? null : { startedAt: running.startedAt, ...running.run.progress() }),
    lastFailure: () => failure,
    ended: async () => {
      while (running !== null) await running.run.outcome;
    },
    study({ moreTime, first }) {
      const plan = latestPlan(db);
      if (running !== null || last?.studying() != null) return true;
      if (plan === null || !('buys' in plan.answer) || plan.ledgerVersion !== ledgerVersion(db)) return false;
      const kept = studiesOf(db, plan.id);
      // What had its time and was not ended is begun again only for more of it.
      const studies = STUDY_KINDS.filter((kind) => {
        const state = kept[kind]?.state;
        return state !== 'whole' && (moreTime || state !== 'out-of-time');
      }).sort((a, b) => Number(b === first) - Number(a === first));
      if (studies.length > 0)
        last = beginPlan({
          db,
          library: library(),
          catalogue,
          today: plan.madeOn,
          milliseconds,
          megabytes,
          logFault,
          plan,
          studies,
          moreTime,
        });
      return true;
    },
    studying: () => last?.studying() ?? null,
    studiesEnded: async () => {
      await last?.studied;
    },
    close: async () => {
      await last?.close();
    },
  };
}

/** One thread's work from its begin to its end: a plan and then its studies, or studies alone. */
type Run = {
  /** What came of the plan. */
  outcome: Promise<PlanningOutcome>;
  /** Resolves once the studies are over, at the latest with the thread. */
  studied: Promise<void>;
  progress: () => Omit<PlanningProgress, 'startedAt'>;
  studying: () => StudyProgress | null;
  stop: () => void;
  close: () => Promise<void>;
};

function beginPlan(parts: {
  db: Db;
  library: CareLibrary;
  catalogue?: PartsList | undefined;
  today: PlainDate;
  milliseconds: number;
  megabytes?: number | undefined;
  studies: readonly StudyKind[];
  logFault?: (fault: unknown) => void;
  afresh?: boolean;
  /** A plan that is kept already and only to be studied. */
  plan?: PlanRecord;
  moreTime?: boolean;
}): Run {
  const { db, library, catalogue, today, milliseconds, studies, logFault = () => undefined } = parts;
  const { afresh = false, plan: kept, moreTime = false } = parts;
  const version = ledgerVersion(db);
  const facts = gatherFacts(db, library, today);
  const { currency } = readLedger(db);
  const earlier = kept === undefined && !afresh ? earlierPlan(db, facts) : null;
  const ends = new Int32Array(new SharedArrayBuffer(8));
  const progress: Omit<PlanningProgress, 'startedAt'> = {
    stage: 'reading',
    written: null,
    best: null,
    bare: null,
  };
  const timers: NodeJS.Timeout[] = [];
  let worker: Worker;
  let redrawing = false;
  // The plan is there, or will not come; what follows are its studies.
  let settled = false;
  let over = false;
  let studying: StudyProgress | null = null;
  let settle: (outcome: PlanningOutcome) => void = () => undefined;
  let endStudies: () => void = () => undefined;
  const outcome = new Promise<PlanningOutcome>((resolve) => {
    settle = (settling) => {
      settled = true;
      for (const timer of timers.splice(0)) clearTimeout(timer);
      resolve(settling);
    };
  });
  const studied = new Promise<void>((resolve) => {
    endStudies = () => {
      over = true;
      studying = null;
      for (const timer of timers.splice(0)) clearTimeout(timer);
      resolve();
    };
  });
  const saved = (planId: string): void => {
    settle({ status: 'saved', planId });
    studying = { planId, kind: null, waiting: studies };
  };
  const fail = (failure: PlanningFailure): void => {
    if (!settled) settle({ status: 'failed', failure });
    endStudies();
  };

  const hear = (news: PlanNews): void => {
    switch (news.news) {
      case 'written':
        progress.written = { animals: news.animals, of: news.of };
        return;
      case 'looking':
        progress.bare = news.bare;
        // A second thread only draws the plan that the first one found; it has nothing to look for and is not asked to stop.
        if (redrawing || progress.stage === 'ending') return;
        for (const timer of timers.splice(0)) clearTimeout(timer);
        progress.stage = 'looking';
        timers.push(setTimeout(() => askToStop('nothing-found-in-time'), milliseconds));
        return;
      case 'better':
        progress.best = { answer: news.answer, points: news.points };
        return;
      case 'drawing':
        for (const timer of timers.splice(0)) clearTimeout(timer);
        progress.stage = 'drawing';
        timers.push(setTimeout(endUnheard, DRAWING_MILLISECONDS));
        return;
      case 'done': {
        const { problem, answer, roadmap, sinceLast } = news;
        if (answer.status === 'undecided') {
          fail('nothing-found-in-time');
          return;
        }
        // What changed in the ledger meanwhile does not spoil the plan: the version it carries tells that it is from older facts.
        const planId = inTransaction(db, (tx) => {
          const id = savePlan(tx, {
            madeOn: today,
            firstMonth: facts.firstMonth,
            problem,
            answer,
            roadmap: roadmap === null ? null : { ...roadmap, currency },
            ledgerVersion: version,
            sinceLast,
          });
          keepFacts(tx, id, facts);
          return id;
        });
        saved(planId);
        if (roadmap === null || studies.length === 0) endStudies();
        return;
      }
      case 'study-begun': {
        if (studying === null) return;
        const { kind } = news;
        const place = studies.indexOf(kind);
        studying = { ...studying, kind, waiting: studies.slice(place + 1) };
        for (const timer of timers.splice(0)) clearTimeout(timer);
        const patience = STUDY_MILLISECONDS[kind] * (moreTime ? MORE_TIME : 1);
        timers.push(setTimeout(() => askToEndStudies(place + 1), patience));
        return;
      }
      case 'study': {
        if (studying === null) return;
        const { planId } = studying;
        inTransaction(db, (tx) => saveStudy(tx, planId, news.kind, news.study));
        return;
      }
      case 'all-studied':
        endStudies();
    }
  };
  const begin = (found: FoundAnswer | null): void => {
    const task = {
      facts,
      moneyAhead: moneyAheadOf(db, facts),
      ends,
      earlier,
      found,
      kept: kept === undefined ? null : { problem: kept.problem, answer: kept.answer as FoundAnswer },
      studies,
      moreTime,
      meterPrices: catalogue === undefined ? {} : meterPricesIn(catalogue, currency),
    } satisfies PlanTask;
    worker = startThread(PLANNING_THREAD, task, parts.megabytes);
    const mine = worker;
    worker.on('message', (news: PlanNews) => {
      if (mine !== worker || over) return;
      try {
        hear(news);
      } catch (fault) {
        logFault(fault);
        fail('crashed');
        void mine.terminate();
      }
    });
    worker.on('error', (fault) => {
      logFault(fault);
      if (mine === worker) fail(isOutOfMemory(fault) ? 'out-of-memory' : 'crashed');
    });
    // A thread that ends by itself has told of its end before, and then this changes nothing.
    worker.on('exit', () => {
      if (mine === worker) fail('crashed');
    });
  };
  const askToEndStudies = (count: number): void => {
    if (Atomics.load(ends, STUDIES_OVER) < count) Atomics.store(ends, STUDIES_OVER, count);
    timers.push(
      setTimeout(() => {
        endStudies();
        void worker.terminate();
      }, ENDING_MILLISECONDS),
    );
  };
  const askToStop = (failure: PlanningFailure): void => {
    // While the problem is written down there is no plan yet that could be kept.
    if (progress.stage === 'reading') {
      fail(failure);
      void worker.terminate();
      return;
    }
    Atomics.store(ends, PLAN_OVER, 1);
    progress.stage = 'ending';
    timers.push(setTimeout(endUnheard, ENDING_MILLISECONDS));
  };
  const endUnheard = (): void => {
    const deaf = worker;
    const best = progress.best?.answer;
    if (!redrawing && progress.stage !== 'drawing' && best !== undefined && 'buys' in best) {
      redrawing = true;
      begin(best);
      timers.push(setTimeout(endUnheard, DRAWING_MILLISECONDS));
    } else fail('nothing-found-in-time');
    void deaf.terminate();
  };
  if (kept !== undefined) saved(kept.id);
  begin(null);
  if (!settled) timers.push(setTimeout(() => askToStop('nothing-found-in-time'), READING_MILLISECONDS));
  return {
    outcome,
    studied,
    progress: () => ({ ...progress }),
    studying: () => studying,
    stop: () => {
      if (settled) askToEndStudies(ALL_STUDIES);
      else if (progress.stage === 'reading' || progress.stage === 'looking') askToStop('stopped');
    },
    close: async () => {
      fail('closed');
      await worker.terminate();
    },
  };
}

// The last plan in the months of the new one: the search begins there, and no more is changed than is worth the upset. Months that have
// passed are below 0.
function earlierPlan(session: Session, facts: LedgerFacts): EarlierPlan | null {
  const last = latestPlan(session);
  if (last === null || !('buys' in last.answer)) return null;
  const passed = monthsBetween(last.firstMonth, facts.firstMonth);
  const buys = last.answer.buys.map(({ purchase, month }) => ({ purchase, month: month - passed }));
  return { planId: last.id, buys, threshold: readLedger(session).changeThreshold };
}

// Everything the cap on a collection is judged from, gathered from the ledger as it stands at a moment; what bounds it is the domain's own
// business.

import type { Budget, MoneyFacts } from '../src/budget.ts';
import { budgetOf } from '../src/budget.ts';
import { monthOf, type PlainDate } from '../src/calendar.ts';
import type { Collection } from '../src/collection.ts';
import {
  backlogAfter,
  backlogOf,
  type CapFacts,
  type CollectionCap,
  floorAtAdultSize,
  type GateInMonth,
  gateByMonth,
  judgeCap,
  type KeepingCosts,
  keepingCosts,
  socketLoad,
} from '../src/collection-cap.ts';
import type { CareLibrary } from '../src/species.ts';
import { type CapRecord, readCap } from './db/cap.ts';
import { type Ledger, ledgerVersion } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import type { Session } from './db/open.ts';
import { latestPlan, type PlanRecord } from './db/plans.ts';
import { listOutlets } from './db/rooms.ts';
import { oncePer } from './db/unchanged.ts';
import { gatherScoring, scoreCollection } from './scores.ts';

/** The cap of a ledger with all it was found from. `planIsOld`: the plan behind the backlog was made from older facts. */
export type GatheredCap = {
  ledger: Ledger;
  today: PlainDate;
  collection: Collection;
  money: MoneyFacts;
  budget: Budget;
  said: CapRecord;
  costs: KeepingCosts;
  facts: CapFacts;
  cap: CollectionCap;
  severe: string[];
  plan: PlanRecord | null;
  planIsOld: boolean;
  /** The gate by month under the plan; empty where it is open today, or there is no present plan. */
  gateByMonth: GateInMonth[];
};

// An integer program: solved once a plan.
const backlogOfPlan = oncePer(backlogOf);
const backlogAfterOfPlan = oncePer(backlogAfter);

function gateOfPlan({ problem, answer }: PlanRecord, facts: CapFacts): GateInMonth[] {
  return 'buys' in answer ? gateByMonth(facts, problem, answer.buys, backlogAfterOfPlan) : [];
}

/** The cap as the ledger stands at a moment. */
export function gatherCap(session: Session, library: CareLibrary, now: Date): GatheredCap {
  const { ledger, today, scoring } = gatherScoring(session, library, now);
  const { collection } = scoring;
  const money = readMoneyFacts(session, today);
  const budget = budgetOf(money, monthOf(today), 1);
  const said = readCap(session);
  // What an animal costs and how long it takes does not hang on its species; how much room it will need does.
  const everybody = [...collection.animals, ...(collection.unjudged ?? [])];
  const costs = keepingCosts(money, everybody, said.upkeep, library);
  const plan = latestPlan(session);
  const { scored } = scoreCollection(scoring);
  const severe = scored.filter(({ score }) => score.needs.some((one) => one.severe)).map(({ animal }) => animal.name);
  const minutes = everybody.map(({ id }) => said.upkeep.find((one) => one.animalId === id)?.minutesAWeek ?? null);
  const facts: CapFacts = {
    count: everybody.length,
    sum: ledger.monthlySum,
    fixed: costs.fixed,
    steady: costs.animals.reduce((sum, one) => sum + one.known, 0),
    steadyKnown: costs.fixedMissing.length === 0 && costs.animals.every((one) => one.missing.length === 0),
    minutes: minutes.includes(null) ? null : minutes.reduce<number>((sum, one) => sum + one!, 0),
    floor: floorAtAdultSize(collection, library, ledger.ruleSets, today),
    sockets: socketLoad(listOutlets(session), collection.fittings, today),
    backlog: plan === null ? null : backlogOfPlan(plan.problem),
    cash: ledger.cashCounted === null ? null : budget.openingCash,
    severe: severe.length,
    settings: said.settings,
  };
  const planIsOld = plan !== null && plan.ledgerVersion !== ledgerVersion(session);
  const cap = judgeCap(facts);
  const shut = cap.oneMore !== 'yes' && plan !== null && !planIsOld && 'buys' in plan.answer;
  const gate = shut ? gateOfPlan(plan, facts) : [];
  return {
    ledger,
    today,
    collection,
    money,
    budget,
    said,
    costs,
    facts,
    cap,
    severe,
    plan,
    planIsOld,
    gateByMonth: gate,
  };
}

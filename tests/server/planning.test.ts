import { expect, onTestFinished, test } from 'vitest';
import { changeLedger, ledgerVersion, readLedger } from '../../server/db/ledger.ts';
import { openMemory } from '../../server/db/open.ts';
import { findPlan, latestPlan, listPlans } from '../../server/db/plans.ts';
import { STUDY_KINDS, studiesOf } from '../../server/db/studies.ts';
import { buyUpgrade, pinUpgrade } from '../../server/db/upgrades.ts';
import { planningFailures } from '../../server/plan-words.ts';
import { gatherFacts, openPlanning, planNow } from '../../server/planning.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { evaluateSchedule } from '../../src/evaluate.ts';
import { buildProblem, ownedId } from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import { drawRoadmap } from '../../src/roadmap.ts';
import { keepFitting, keepGecko, keepMoney, keepSmallLedger, wantHide } from '../support/ledger.ts';
import { library, makeFitting } from '../support/make.ts';

const today = plainDate('2026-01-15');
const now = () => new Date('2026-01-15T12:00:00Z');

function smallLedger() {
  const db = openMemory();
  keepSmallLedger(db);
  return db;
}

/** One upgrade alone, for what asks of the studies only that they come to an end: each needs the fewest plans. */
function smallestLedger() {
  const db = openMemory();
  keepGecko(db);
  keepMoney(db, 2000, 3000);
  wantHide(db, 'Warm cave', 'warm', 2500);
  return db;
}

/** Enough upgrades that neither a plan nor a study of it is over at once. */
function largeLedger() {
  const db = smallLedger();
  for (let index = 0; index < 24; index++) {
    const change = { change: 'answer' as const, enclosureId: '1', check: 'escape-proof' as const };
    wantHide(db, `Hide ${index}`, 'warm', 900 + 37 * index, { group: `of ${index % 3}`, changes: [change] });
  }
  return db;
}

function planning(db = smallLedger(), milliseconds = 300) {
  const faults: unknown[] = [];
  const opened = openPlanning({
    db,
    library: () => library,
    now,
    milliseconds,
    logFault: (fault) => faults.push(fault),
  });
  onTestFinished(() => opened.close());
  return { db, faults, ...opened };
}

test('The facts of a plan begin with the present month, and hold the money that is there and to come', () => {
  const facts = gatherFacts(smallLedger(), library, today);
  expect(facts).toMatchObject({ planDate: '2026-01-15', firstMonth: '2026-01', months: 12, creditMonths: 9 });
  // The sum of January came before the cash was counted.
  expect(facts.money.openingCash).toBe(3000);
  expect(facts.money.income).toEqual([0, ...Array.from({ length: 11 }, () => 2000)]);
  expect(facts.upgrades.map((one) => one.name)).toEqual(['Warm cave', 'Cardboard hide', 'Moss box']);
});

test('What is owned is paid once: its power and renewals are its own, and not among what is owed besides', () => {
  const db = smallLedger();
  changeLedger(db, readLedger(db).version, { coversPower: true, pricePerKwh: 0.25 });
  keepFitting(
    db,
    makeFitting('basking-lamp', {
      id: '1',
      watts: 40,
      hoursPerDay: 10,
      lifeMonths: 6,
      renewalPrice: money(1200),
      fittedOn: plainDate('2025-11-20'),
    }),
  );
  const facts = gatherFacts(db, library, today);
  // 40 W x 10 h x 30.436875 days is 12.17 kWh, for 0.25 each 3.05 rounded up (Gregorian mean month).
  expect(facts.money.owned).toEqual([
    { fittingId: '1', monthlyCost: 305, life: 6, renewalPrice: 1200, monthsInService: 2 },
  ]);
  expect(facts.money.committed).toEqual(Array.from({ length: 12 }, () => 0));
  const { problem } = buildProblem(facts);
  expect(problem.purchases.find((one) => one.id === ownedId('1'))).toMatchObject({ ownedSince: -2, price: 0 });
  const result = evaluateSchedule(problem, []);
  if (result.status !== 'feasible') throw new Error(result.rule);
  const spent = result.balances.map((one, month) => (month === 0 ? 3000 : result.balances[month - 1]! + 2000) - one);
  // Fitted in November, the lamp is due in May and in November.
  expect(spent).toEqual([305, 305, 305, 305, 1505, 305, 305, 305, 305, 305, 1505, 305]);
});

test('What was bought and is on its way is paid out of the cash and costs the plan nothing more', () => {
  const db = smallLedger();
  buyUpgrade(db, 1, 1, { boughtOn: today, paid: money(2600), arrivesMonth: plainMonth('2026-03') });
  const facts = gatherFacts(db, library, today);
  expect(facts.money.openingCash).toBe(400);
  expect(buildProblem(facts).problem.purchases[0]).toMatchObject({ id: '1', price: 0, fixedMonth: 0, lead: 2 });
});

test('A plan is kept with its frozen problem, the buys it answers with and the roadmap that these give', async () => {
  const db = smallLedger();
  const outcome = await planNow(db, library, today, 300);
  expect(outcome).toEqual({ status: 'saved', planId: '1' });
  const plan = latestPlan(db)!;
  const facts = gatherFacts(db, library, today);
  const built = buildProblem(facts);
  expect(plan.problem).toEqual(JSON.parse(JSON.stringify(built.problem)));
  if (!('buys' in plan.answer)) throw new Error(plan.answer.status);
  expect(plan.answer.buys).toHaveLength(3);
  const { currency, ...roadmap } = plan.roadmap!;
  expect(roadmap).toEqual(JSON.parse(JSON.stringify(drawRoadmap(facts, built, plan.answer.buys))));
  expect(currency).toEqual({ code: 'EUR', decimals: 2 });
  expect(plan.ledgerVersion).toBe(ledgerVersion(db));
});

test('A second start while a plan is made begins nothing, and the progress tells what is being done', async () => {
  const { db, start, progress, ended, lastFailure } = planning();
  expect(progress()).toBeNull();
  start();
  start();
  expect(progress()).toMatchObject({ stage: 'reading', best: null });
  await ended();
  expect([progress(), lastFailure(), listPlans(db).length]).toEqual([null, null, 1]);
});

test('A stop ends a long planning at once and keeps the best plan there is', async () => {
  const db = largeLedger();
  const { start, stop, progress, ended } = planning(db, 60_000);
  start();
  while (progress()?.stage === 'reading') await new Promise((resolve) => setTimeout(resolve, 50));
  expect(progress()).not.toBeNull();
  const before = performance.now();
  stop();
  expect(progress()?.stage).toBe('ending');
  await ended();
  expect(performance.now() - before).toBeLessThan(10_000);
  expect(latestPlan(db)?.answer).toMatchObject({ status: 'best-found' });
});

test('A stop before there is a first plan ends at once, keeps nothing and says so; how many animals are done is told until then', async () => {
  const db = largeLedger();
  const { start, stop, progress, ended, lastFailure } = planning(db, 60_000);
  start();
  stop();
  await ended();
  expect([lastFailure(), listPlans(db)]).toEqual(['stopped', []]);
  expect(planningFailures.stopped).toContain('before there was a first plan');
  start();
  const told = new Set<string>();
  while (progress()?.stage === 'reading') {
    told.add(JSON.stringify(progress()!.written));
    await new Promise((resolve) => setImmediate(resolve));
  }
  expect(JSON.stringify(progress()!.written)).toBe('{"animals":1,"of":1}');
  expect([...told][0]).toBe('null');
  stop();
  await ended();
  expect(listPlans(db)).toHaveLength(1);
});

test('A plan made while the ledger changed is kept, with the version of the facts it was made from', async () => {
  const { db, start, ended } = planning();
  const before = ledgerVersion(db);
  start();
  wantHide(db, 'Second thought', 'cool', 100);
  await ended();
  expect(latestPlan(db)?.ledgerVersion).toBe(before);
  expect(ledgerVersion(db)).toBeGreaterThan(before);
  expect(latestPlan(db)?.problem.purchases).toHaveLength(3);
});

test('A fault in the thread is told, keeps nothing, and does not stand in the way of the next planning', async () => {
  const db = smallLedger();
  const faults: unknown[] = [];
  const logFault = (fault: unknown) => faults.push(fault);
  // A library whose species have no temperatures is a broken promise, which the thread meets.
  const untargeted = library.species.map((one) => ({ ...one, temperatures: null as never }));
  const broken = openPlanning({
    db,
    library: () => ({ ...library, species: untargeted }),
    now,
    milliseconds: 200,
    logFault,
  });
  broken.start();
  await broken.ended();
  expect([broken.lastFailure(), listPlans(db), broken.progress()]).toEqual(['crashed', [], null]);
  expect(String(faults[0])).toMatch(/TypeError|temperatures|null/);
  broken.start();
  expect([broken.lastFailure(), broken.progress()?.stage]).toEqual([null, 'reading']);
  await broken.ended();
  expect(faults).toHaveLength(2);
});

test('A thread that takes too much memory is ended with a sentence of its own, and the program goes on', async () => {
  const db = smallLedger();
  const faults: unknown[] = [];
  const logFault = (fault: unknown) => faults.push(fault);
  // Less than it takes to read the planner.
  const tight = openPlanning({ db, library: () => library, now, milliseconds: 60_000, megabytes: 12, logFault });
  tight.start();
  await tight.ended();
  expect([tight.lastFailure(), listPlans(db), tight.progress()]).toEqual(['out-of-memory', [], null]);
  expect(planningFailures['out-of-memory']).toContain('more memory than it is given');
  expect(faults.map((one) => (one as NodeJS.ErrnoException).code)).toEqual(['ERR_WORKER_OUT_OF_MEMORY']);
});

test('Closing ends the planning and keeps nothing', async () => {
  const { db, start, close, progress, lastFailure } = planning(smallLedger(), 60_000);
  start();
  await close();
  expect([progress(), lastFailure(), listPlans(db)]).toEqual([null, 'closed', []]);
});

test('A fixed purchase that cannot be paid gives the month and the amount, and the plan is kept as one there is not', async () => {
  const db = smallLedger();
  wantHide(db, 'Dear cave', 'warm', 10_000, { pinnedMonth: plainMonth('2026-03') });
  await planNow(db, library, today, 300);
  // 30.00 in hand and 20.00 each in February and March are 70.00.
  expect(latestPlan(db)).toMatchObject({
    roadmap: null,
    answer: { status: 'infeasible', shortMonth: 2, shortBy: 3000 },
  });
});

test('The plan is there at once, and its studies are worked out after it until all are whole', async () => {
  const { db, start, ended, studying, studiesEnded, progress } = planning();
  start();
  await ended();
  expect(latestPlan(db)?.id).toBe('1');
  expect(progress()).toBeNull();
  expect(studying()).toMatchObject({ planId: '1' });
  expect(studying()?.waiting.length).toBeGreaterThan(0);
  await studiesEnded();
  expect(studying()).toBeNull();
  const studies = studiesOf(db, '1');
  expect(Object.fromEntries(STUDY_KINDS.map((kind) => [kind, studies[kind]?.state]))).toEqual(
    Object.fromEntries(STUDY_KINDS.map((kind) => [kind, 'whole'])),
  );
  // The plan buys all three, so each can only be refused.
  expect(studies.objections?.found.map(({ purchase, forced }) => [purchase, forced]).sort()).toEqual([
    ['1', 'out'],
    ['2', 'out'],
    ['3', 'out'],
  ]);
  expect(studies.robust?.found[0]).toMatchObject({ name: 'present' });
  expect(studies.money?.found.some((one) => one.kind === 'monthly' && one.amount < 0)).toBe(true);
  expect(studies.money?.found.some((one) => one.kind === 'once' && one.amount > 0)).toBe(true);
});

test('A new plan ends the studies of the one before, which keep what they had', async () => {
  const { db, start, ended, studying } = planning();
  start();
  await ended();
  start();
  expect(studying()).toBeNull();
  await ended();
  expect(studying()?.planId).toBe('2');
  expect(Object.values(studiesOf(db, '1')).every((one) => one.state !== 'stopped')).toBe(true);
});

test('A stop while a plan is studied ends all its studies, and no later one is begun', async () => {
  const { db, start, stop, ended, studying, studiesEnded } = planning(largeLedger());
  start();
  await ended();
  while (studying()?.kind === null) await new Promise((resolve) => setTimeout(resolve, 5));
  const first = studying()!.kind!;
  stop();
  await studiesEnded();
  expect(studiesOf(db, '1')[first]?.state).toBe('stopped');
  expect(Object.keys(studiesOf(db, '1'))).toEqual([first]);
  expect(listPlans(db)).toHaveLength(1);
});

test('Closing while a plan is studied keeps the plan and ends the studies', async () => {
  const { db, start, ended, close, studying, lastFailure } = planning(largeLedger());
  start();
  await ended();
  await close();
  expect([studying(), lastFailure(), listPlans(db).length]).toEqual([null, null, 1]);
});

test('What is missing of the studies is worked out when it is asked for, as long as the ledger is as it was', async () => {
  const db = smallestLedger();
  await planNow(db, library, today, 300);
  expect(studiesOf(db, '1')).toEqual({});
  const { study, studying, studiesEnded } = planning(db);
  expect(study({ moreTime: false })).toBe(true);
  expect(studying()).toMatchObject({ planId: '1', waiting: STUDY_KINDS });
  await studiesEnded();
  expect(STUDY_KINDS.every((kind) => studiesOf(db, '1')[kind]?.state === 'whole')).toBe(true);
  expect(listPlans(db)).toHaveLength(1);
  // Nothing is missing now, so nothing is begun.
  expect([study({ moreTime: true }), studying()]).toEqual([true, null]);
  wantHide(db, 'Second thought', 'cool', 100);
  expect([study({ moreTime: true }), studying()]).toEqual([false, null]);
});

test('A caller that waits for a plan waits for its studies only when it asks for them', async () => {
  const db = smallestLedger();
  await planNow(db, library, today, 300, { study: true });
  expect(studiesOf(db, '1').objections?.state).toBe('whole');
});

test('A plan of an unchanged ledger moves nothing, and one of a changed ledger moves what must and says why', async () => {
  const db = smallLedger();
  await planNow(db, library, today, 300);
  expect(latestPlan(db)?.sinceLast).toBeNull();
  await planNow(db, library, today, 300);
  const [first, second] = [findPlan(db, 1)!, findPlan(db, 2)!];
  expect(second.sinceLast).toMatchObject({ planId: '1', changes: [], held: [] });
  expect('buys' in second.answer && 'buys' in first.answer && second.answer.buys).toEqual(
    'buys' in first.answer && first.answer.buys,
  );
  const was = 'buys' in first.answer ? first.answer.buys.find((one) => one.purchase === '3')!.month : -1;
  expect(was).toBeGreaterThan(0);
  pinUpgrade(db, 3, 1, plainMonth('2026-08'));
  await planNow(db, library, today, 300);
  expect(latestPlan(db)?.sinceLast?.changes).toMatchObject([
    { purchase: '3', name: 'Moss box', was, is: 7, why: 'forced' },
  ]);
});

test('What would gain less than the threshold stays where it was, unless the plan is made afresh', async () => {
  const db = smallLedger();
  await planNow(db, library, today, 300);
  const { answer } = latestPlan(db)!;
  if (!('buys' in answer)) throw new Error(answer.status);
  expect(answer.buys).toContainEqual({ purchase: '3', month: 3 });
  // As if the last plan had put the moss box two months later: the mean of the needs would be worse, and no weighted point.
  const buys = answer.buys.map((one) => (one.purchase === '3' ? { ...one, month: 5 } : one));
  db.$client.prepare('UPDATE plans SET answer = ?').run(JSON.stringify({ ...answer, buys }));
  const { start, ended } = planning(db);
  start();
  await ended();
  const calm = latestPlan(db)!;
  if (!('buys' in calm.answer)) throw new Error(calm.answer.status);
  expect(calm.answer.buys).toContainEqual({ purchase: '3', month: 5 });
  expect(calm.sinceLast).toMatchObject({
    planId: '1',
    changes: [],
    held: [{ purchase: '3', name: 'Moss box', was: 5, is: 3 }],
  });
  expect(calm.sinceLast!.held[0]!.gain).toBeLessThan(calm.sinceLast!.threshold);
  // What is kept as the plan, drawn and said to be sure, is the plan shown and not the best one.
  expect(calm.sinceLast!.best.mean).toBeGreaterThan(calm.answer.mean);
  expect(calm.answer.status).not.toBe('optimal');
  expect(calm.roadmap?.months[5]?.buys.map((one) => one.upgradeId)).toEqual(['3']);
  start({ afresh: true });
  await ended();
  const afresh = latestPlan(db)!;
  expect(afresh.sinceLast).toBeNull();
  expect('buys' in afresh.answer && afresh.answer.buys).toContainEqual({ purchase: '3', month: 3 });
});

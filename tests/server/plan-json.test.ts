// What is kept of a plan in a file that comes in, spoilt in one place at a time: it is refused, or every page that reads it is answered without
// a number that is none. The plan, its facts, its studies and what came of questions, each in turn.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { keepQuestion } from '../../server/db/cap.ts';
import { ledgerVersion, readLedger } from '../../server/db/ledger.ts';
import type { Db } from '../../server/db/open.ts';
import { type KeptRoadmap, latestPlan, savePlan } from '../../server/db/plans.ts';
import { type Studies, type StudyKind, saveStudy } from '../../server/db/studies.ts';
import { readWholeLedger } from '../../server/db/whole-ledger.ts';
import { spoiltColumn } from '../../server/ledger-json.ts';
import { paths } from '../../server/paths.ts';
import { keptRoadmap } from '../../server/plan-json.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import type { CapOutcome, CapQuestion, FirstMonth } from '../../src/cap-questions.ts';
import type { LeftOut } from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import type { Buy } from '../../src/problem.ts';
import { closeApp, openApp, type TestApp } from '../support/app.ts';
import { keepCopy } from '../support/full-ledger.ts';
import { effort, within } from '../support/hostile.ts';
import { keepSmallLedger } from '../support/ledger.ts';
import { library } from '../support/make.ts';

const today = plainDate('2026-01-15');
const month = plainMonth('2026-03');

let app: TestApp;
let putBack: () => void;
// The month that the plan covers is over, so that it can be closed.
let moment = new Date('2026-01-15T12:00:00Z');
const faults: string[] = [];

beforeAll(async () => {
  app = await openApp({ now: () => moment, log: { write: (line) => void faults.push(line) } });
  keepSmallLedger(app.db);
  await planNow(app.db, library, today, 300);
  keepEveryForm(app.db);
  putBack = keepCopy(app.db);
}, 120_000);
afterAll(() => closeApp(app));

/** Keeps a second plan that follows from the first, with every form that a plan, a study, a question and an answer may have. */
function keepEveryForm(db: Db): void {
  const { id: before, ...plan } = latestPlan(db)!;
  const whole = plan.roadmap!;
  if (!('buys' in plan.answer)) throw new Error('the small ledger has a plan');
  const [one, other] = plan.problem.purchases.map(({ id }) => id);
  const [upgradeId, boughtId] = [one!, other!];
  const price = money(1_500);
  const delay = { points: 12.5, severe: 1 };
  const effect = { animalId: '1', need: 'heat', from: 20, to: 60, severe: 'ends', fromMemory: true } as const;
  const bought = whole.months.flatMap(({ buys }) => buys)[0]!;
  const buy = { ...bought, effects: [effect], alone: [effect], worth: delay };
  const roadmap: KeptRoadmap = {
    ...whole,
    months: whole.months.map((at, index) =>
      index > 0
        ? at
        : {
            ...at,
            buys: [
              { ...buy, whyNow: { why: 'pinned-takes-money', name: 'Box', delay } },
              { ...buy, whyNow: { why: 'gains-before', points: 3, severe: 1, delay: null } },
              { ...buy, whyNow: { why: 'replaces-broken', fitting: 'Mat' } },
            ],
            renewals: [{ name: 'Tube', amount: price }],
            savingFor: { upgradeId, name: 'Box', price, month },
          },
    ),
    notBought: [
      { upgradeId, name: 'Box', price, animalIds: ['1'], why: { why: 'never-payable', shortBy: price, points: 4 } },
      { upgradeId, name: 'Box', price, why: { why: 'another-of-its-group', boughtId, boughtName: 'Shelf' } },
      { upgradeId, name: 'Box', price, why: { why: 'needs-what-is-not-bought', names: ['Lamp'] } },
    ],
    leftOut: [{ upgradeId, name: 'Box', why: 'too-many-at-once', need: 'heat', animalId: '1' }],
    cheapest: [
      { animalId: '1', name: 'Ember', status: 'found', upgrades: [{ upgradeId, name: 'Box', price }], price },
      { animalId: '1', name: 'Ember', status: 'out-of-reach', needs: ['uv'] },
    ],
  };
  const changed = { purchase: upgradeId, name: 'Box', gain: 12, severe: 1, together: [boughtId] };
  const sinceLast = {
    planId: before,
    threshold: 10,
    best: plan.answer,
    changes: [{ ...changed, was: 0, is: 1, why: 'gains' as const }],
    held: [{ ...changed, was: 1, is: null }],
  };
  const id = savePlan(db, { ...plan, roadmap, sinceLast });
  db.$client.prepare('INSERT INTO plan_facts SELECT ?, facts FROM plan_facts WHERE plan_id = ?').run(id, before);
  const buys: Buy[] = plan.answer.buys;
  const difference = { severe: 0, weighted: -3, points: -2.5, spend: money(100) };
  const changes = [{ purchase: upgradeId, was: 0, is: null }];
  const { severe, weighted, mean, spend } = plan.answer;
  const objective = { severe, weighted, mean, spend };
  const planned = { status: 'planned' as const, buys, objective, difference, changes, proved: true };
  const reading = {
    ...{ enclosureId: '1', kind: 'warm-air' as const, fine: 30, faulty: 20 },
    narrows: [{ animalId: '1', points: 12 }],
  };
  const outlook = { buys, faulty: 100, fine: 200 };
  const paid = { buys, points: 150 };
  const found: { [Kind in StudyKind]: NonNullable<Studies[Kind]>['found'] } = {
    soonest: [
      {
        ...{ animalId: '1', now: 1, planned: 2 },
        soonest: { status: 'month', month: 1, buys, proved: true },
        bridge: { status: 'found', amount: 900, month: 0, buys, proved: false },
      },
      {
        ...{ animalId: '1', now: 1, planned: null },
        soonest: { status: 'never-inside', needs: ['heat'] },
        bridge: { status: 'not-with-money' },
      },
    ],
    objections: [{ purchase: upgradeId, forced: 'out', outcome: { ...planned, month: null } }],
    measuring: [
      {
        reading,
        prices: [0, 2_500],
        worth: {
          blind: [outlook, { buys: [], faulty: 120, fine: 150 }],
          informed: [
            { status: 'planned', price: 0, faulty: paid, fine: paid, severe: { faulty: 1, fine: 0 } },
            { status: 'cannot-be-paid', price: 2_500 },
          ],
          proved: true,
        },
      },
    ],
    money: [
      { kind: 'monthly', amount: 1_000, outcome: { ...planned, severeEnds: [{ animalId: '1', was: 2, is: 0 }] } },
      { kind: 'once', amount: 2_000, outcome: { status: 'impossible' } },
    ],
    robust: [
      { name: 'present', buys, proved: true },
      { name: 'weights-equal', buys: [], proved: false },
    ],
    choices: [
      {
        ...{ choice: 'horizon', alternative: 'longer', months: 24 },
        outcome: { status: 'planned', changes, byPresent: difference, byOther: null, proved: true },
      },
    ],
  };
  for (const kind of Object.keys(found) as StudyKind[])
    saveStudy(db, id, kind, { state: 'whole', found: found[kind] } as NonNullable<Studies[typeof kind]>);
  const reached = { severe: 2, points: 500, firstMonth: 1_000, clearsIn: 3 };
  const setUp = {
    box: { name: 'Box', price },
    things: { price, count: 4 },
    ...{ powerMonthly: money(200), renewalsMonthly: money(100), outOfReach: ['heat'], priced: true },
  };
  const costs = { food: money(500), substrate: money(100), vet: money(300) };
  // Sums of a currency whose units are small, such as rupiah.
  const reserve = { name: 'reserve', holds: 'no', holdsOneMore: 'no', lacks: 3_000_000_000 } as const;
  const gate = { month: 2, oneMore: 'no', shut: [reserve], cash: 2_500_000_000, clearsIn: 'not-known' } as const;
  const when: FirstMonth = { status: 'none', gate: { ...gate, shut: [reserve] }, everBinds: ['reserve'] };
  const asked: [CapQuestion, CapOutcome][] = [
    [
      { ask: 'one-more', speciesId: 'corn-snake', species: 'Corn snake', setUp, ownPrice: null, ...costs },
      {
        ...{ status: 'planned', was: reached, is: reached, proved: true, when },
        animals: [{ animalId: '1', name: 'Ember', points: -20, severe: 1, was: 0, is: null }],
      },
    ],
    [
      { ask: 'rehome', animalId: '1', animal: 'Ember' },
      { status: 'impossible', month: 2, by: 900, was: reached },
    ],
    [
      { ask: 'price-rise', percent: 20 },
      { status: 'present-impossible', month: 2, by: 900 },
    ],
    [{ ask: 'emergency', month, amount: money(9_000) }, { status: 'not-known' }],
  ];
  const { currency } = readLedger(db);
  const kept = { askedOn: today, firstMonth: plan.firstMonth, ledgerVersion: ledgerVersion(db), currency };
  for (const [question, outcome] of asked) keepQuestion(db, { ...kept, question, outcome });
}

type Place = { holder: Record<string, unknown>; name: string };

/** Every place of a value within another, and of its parts; of long lists the first stand for all, of a care library every eleventh. */
function placesIn(value: unknown): Place[] {
  if (typeof value !== 'object' || value === null) return [];
  const holder = value as Place['holder'];
  const names = Object.keys(holder).slice(0, Array.isArray(value) ? 4 : undefined);
  return names.flatMap((name) => [
    { holder, name },
    ...placesIn(holder[name]).filter((_, index) => name !== 'library' || index % 11 === 0),
  ]);
}

const spoilt: readonly unknown[] = [
  ...[undefined, null, 'words', '1', '2026-02-30', -1, 0, 0.5, 99, 1e300, true],
  ...[[], {}, [null], [[1]], { a: {} }],
];

const ofPlans = [
  ...[paths.home, paths.roadmap.show, paths.roadmap.older(2), paths.thisMonth, paths.months.list, paths.cap.show],
  ...[paths.measuring.show, paths.measuring.weekend, paths.valueChoices.show, paths.case],
  ...[1, 2, 3].map((id) => paths.upgrades.show(id)),
  ...[paths.export.calendar, paths.export.table('plan'), paths.months.close('2026-01')],
];
const read: Readonly<Record<string, readonly string[]>> = {
  'plans.problem': ofPlans,
  'plans.answer': ofPlans,
  'plans.roadmap': ofPlans,
  'plans.since_last': [paths.roadmap.show, paths.roadmap.older(2)],
  'plan_studies.content': ofPlans,
  'cap_questions.question': [paths.cap.show, ...[1, 2, 3, 4].map((id) => paths.cap.answer(id))],
  'cap_questions.outcome': [paths.cap.show, ...[1, 2, 3, 4].map((id) => paths.cap.answer(id))],
  // Read when a month is closed.
  'plan_facts.facts': [],
};

/** Asks for a page, or closes January, and expects an answer that says something. */
async function expectAnswered(address: string, told: string): Promise<void> {
  const page = await app.app.inject({ method: 'GET', url: address });
  expect(page.statusCode, `${address} ${told} ${faults.at(-1) ?? ''}`).toBe(200);
  expect(page.body, `${address} ${told}`).not.toMatch(/NaN|Infinity|undefined|\[object/);
}

test.each(Object.entries(read))(
  'A place of %s that is spoilt is refused, or its pages are answered',
  async (place, pages) => {
    const [table, column] = place.split('.') as [string, string];
    const rows = readWholeLedger(app.db)[table]!.filter(
      (row) => row.plan_id !== 1 && (table !== 'plans' || row.id === 2),
    );
    expect(rows.map((row) => spoiltColumn(table, row))).toEqual(rows.map(() => null));
    const key = table === 'plan_studies' ? 'kind' : table === 'plan_facts' ? 'plan_id' : 'id';
    const put = app.db.$client.prepare(`UPDATE ${table} SET ${column} = ? WHERE ${key} = ?`);
    const tries = rows.flatMap((row) => {
      const count = placesIn(row[column]).length;
      return Array.from({ length: count * spoilt.length }, (_, at) => ({
        row,
        at: Math.floor(at / spoilt.length),
        value: spoilt[at % spoilt.length],
      }));
    });
    let [refused, shown] = [0, 0];
    const most = Math.ceil(3 * effort.times);
    // A prime step goes through all of them in an order that jumps.
    for (let turn = 0; turn < tries.length && turn < 400 * effort.times && shown < most; turn += 1) {
      const { row, at, value } = tries[(turn * 7_919 + effort.seed) % tries.length]!;
      const copy = structuredClone(row);
      const { holder, name } = placesIn(copy[column])[at]!;
      if (value === undefined) delete holder[name];
      else holder[name] = value;
      const spoiltIn = spoiltColumn(table, JSON.parse(JSON.stringify(copy)) as typeof copy);
      if (spoiltIn !== null) {
        refused += 1;
        continue;
      }
      if (JSON.stringify(copy) === JSON.stringify(row)) continue;
      put.run(JSON.stringify(copy[column]), row[key]);
      const told = `with ${name} = ${JSON.stringify(value)} in ${JSON.stringify(holder).slice(0, 200)}`;
      try {
        moment = new Date('2026-01-15T12:00:00Z');
        for (const address of pages.filter((one) => one !== paths.months.close('2026-01')))
          await expectAnswered(address, told);
        if (pages.length === 0 || pages.includes(paths.months.close('2026-01'))) {
          moment = new Date('2026-02-03T12:00:00Z');
          await expectAnswered(paths.months.close('2026-01'), told);
          const answer = await app.submit(await app.get(paths.months.close('2026-01')));
          expect([303, 422], `closing ${told} ${faults.at(-1) ?? ''}`).toContain(answer.status);
          if (answer.status === 303) await expectAnswered(paths.months.show('2026-01'), told);
        }
      } finally {
        putBack();
      }
      shown += 1;
    }
    console.info(`${place}: ${refused} refused, ${shown} shown of ${tries.length}`);
    expect(refused).toBeGreaterThan(5);
    expect(shown).toBeGreaterThan(0);
  },
  within(240_000),
);

test('Whatever is left out of a plan comes in again with its reason, a new reason among them', () => {
  const reasons: { [why in LeftOut['why']]: Omit<Extract<LeftOut, { why: why }>, 'upgradeId' | 'why'> } = {
    'too-many-at-once': { need: 'heat', animalId: '1' },
    'needs-what-is-not-wanted': {},
    'pinned-after-the-plan': {},
  };
  const leftOut = Object.entries(reasons).map(([why, more]) => ({ upgradeId: '1', why, name: 'Cave', ...more }));
  expect(keptRoadmap.safeParse({ ...latestPlan(app.db)!.roadmap, leftOut }).error).toBeUndefined();
  const other = leftOut.map((one) => ({ ...one, why: 'no-reason' }));
  expect(keptRoadmap.safeParse({ ...latestPlan(app.db)!.roadmap, leftOut: other }).success).toBe(false);
});

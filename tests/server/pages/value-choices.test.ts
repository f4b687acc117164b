// The page of value choices as a browser sees it, and that what is chosen there decides the scores and the plan alike.

import { expect, test } from 'vitest';
import { changeLedger, firstLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { addOneOffSum } from '../../../server/db/money.ts';
import { latestPlan, savePlan } from '../../../server/db/plans.ts';
import { saveStudy } from '../../../server/db/studies.ts';
import { paths } from '../../../server/paths.ts';
import { gatherFacts, planNow } from '../../../server/planning.ts';
import { gatherScoring, scoreCollection } from '../../../server/scores.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import type { ChoiceEffect, PlanEffect } from '../../../src/choice-effects.ts';
import { evaluateSchedule } from '../../../src/evaluate.ts';
import { buildProblem } from '../../../src/ledger-problem.ts';
import { money } from '../../../src/money.ts';
import { NEEDS } from '../../../src/species.ts';
import {
  type Answer,
  findForm,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  tableRows,
  testMoment,
  textOf,
  textsOf,
} from '../../support/app.ts';
import { keepFitting, keepGecko, keepSmallLedger } from '../../support/ledger.ts';
import { library, makeFitting } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const page = paths.valueChoices.show;

async function smallLedger(): Promise<TestApp> {
  const app = await startApp();
  keepSmallLedger(app.db);
  return app;
}

/** The words of the part of the page about one kind of choice. */
function part(answer: Answer, choice: string): string {
  return textOf(answer.document.getElementById(`choice-${choice}`));
}

function hintOf(answer: Answer, field: string): string {
  return textOf(answer.document.getElementById(`field-${field}-hint`));
}

test('A new ledger shows its defaults, what each does, and that none of them is a finding', async () => {
  const { get } = await startApp();
  const answer = await get(page);
  expect(answer.status).toBe(200);
  expect(textOf(answer)).toContain('this ledger’s own value choices, not published constants');
  expect(textOf(answer)).toContain('judges what the enclosure offers, never how the animal feels');
  expect(textsOf(answer, 'main legend')).toEqual([
    'How much each need weighs',
    'How far a score may lie above a need',
    'How much the worst off count',
    'How far ahead a plan looks',
    'How long the end of a plan counts',
    'What a change of plan must gain',
  ]);
  const { version: _, ...values } = formValues(findForm(answer));
  // Source: the scoring notes of the product, sections 2, 4 and 7; water added with 10 and 30 by the husbandry rules.
  expect(Object.values(values)).toEqual(
    ['10', '20', '15', '10', '20', '15', '10', '10']
      .concat(['30', '30', '30', '30', '50', '50', '70', '30'])
      .concat(['3', '2', '1', '12', '9', '10']),
  );
  // By hand: 15 of 100 without water is 15 %, 15 of 110 is 13.6 %; 10 of 110 is 9.1 %.
  expect(hintOf(answer, 'weight-uv')).toBe('15 % of the sum (14 % where water counts). Default: 15.');
  expect(hintOf(answer, 'weight-water')).toBe('9 % of the sum where it counts. Default: 10.');
  expect(hintOf(answer, 'horizon')).toBe('Default: 12.');
  expect(textOf(answer)).not.toContain('Differs');
  expect([...answer.document.querySelectorAll('main a[href*="defaults"]')]).toEqual([]);
  for (const choice of ['weights', 'allowances', 'priority', 'horizon', 'credit', 'threshold'])
    expect(part(answer, choice), choice).toContain('Worked out after the next plan.');
});

const chosen = {
  'weight-uv': '0',
  'weight-space': '60',
  'allowance-heat': '0',
  'priority-below40': '5',
  'priority-to70': '1',
  'priority-above70': '0',
  horizon: '18',
  credit: '0',
  threshold: '250',
};

test('What is chosen is kept, and the page says where it differs from a new ledger', async () => {
  const { get, submit, db } = await startApp();
  const saved = await submit(await get(page), chosen);
  expect([saved.status, saved.location]).toEqual([303, `${page}?done=choices-saved`]);
  expect(readLedger(db)).toEqual({
    ...firstLedger,
    needWeights: { ...firstLedger.needWeights, uv: 0, space: 60 },
    allowances: { ...firstLedger.allowances, heat: 0 },
    priority: [5, 1, 0],
    horizonMonths: 18,
    creditMonths: 0,
    changeThreshold: 250,
    version: 2,
  });
  const answer = await get(`${page}?done=choices-saved`);
  expect(textOf(answer.document.querySelector('.notice'))).toContain('Scores go by it at once');
  expect(part(answer, 'weights')).toContain('Differs from a new ledger: UV and Space.');
  expect(part(answer, 'allowances')).toContain('Differs from a new ledger: Heat.');
  expect(hintOf(answer, 'threshold')).toBe('Default: 10, yours differs.');
  // By hand: 60 of 10 + 20 + 0 + 10 + 60 + 15 + 10 = 125 is 48 %, of 135 with water 44 %.
  expect(hintOf(answer, 'weight-space')).toBe('48 % of the sum (44 % where water counts). Default: 20, yours differs.');
});

test.each<[string, Record<string, string>, string[]]>([
  ['a weight above 100', { 'weight-heat': '101' }, ['weight-heat']],
  ['a negative weight', { 'weight-hides': '-1' }, ['weight-hides']],
  ['half a weight', { 'weight-hides': '2.5' }, ['weight-hides']],
  ['no weight', { 'weight-hides': '' }, ['weight-hides']],
  ['a weight in words', { 'weight-water': 'much' }, ['weight-water']],
  ['safety without weight, for then an animal could be without a score', { 'weight-safety': '0' }, ['weight-safety']],
  ['an allowance above 100', { 'allowance-uv': '101' }, ['allowance-uv']],
  ['a negative allowance', { 'allowance-water': '-5' }, ['allowance-water']],
  ['points above 40 that count more than those below', { 'priority-below40': '1' }, ['priority-to70']],
  ['points above 70 that count more than those below', { 'priority-above70': '3' }, ['priority-above70']],
  ['the worst off counted not at all', { 'priority-below40': '0' }, ['priority-below40']],
  ['the worst off counted eleven times', { 'priority-below40': '11' }, ['priority-below40']],
  ['no months', { horizon: '0' }, ['horizon']],
  ['too many months', { horizon: '37' }, ['horizon']],
  ['half a month', { horizon: '1.5' }, ['horizon']],
  ['too much credit', { credit: '61' }, ['credit']],
  ['a negative threshold', { threshold: '-1' }, ['threshold']],
  ['a threshold beyond belief', { threshold: '1001' }, ['threshold']],
  [
    'several wrong answers at once',
    { 'weight-uv': 'x', credit: 'y', threshold: '' },
    ['weight-uv', 'credit', 'threshold'],
  ],
])('The form refuses %s at its field and keeps what was typed', async (_name, wrong, fields) => {
  const { get, submit, db } = await startApp();
  const typed = { 'weight-enrichment': '33', 'allowance-space': '44', ...wrong };
  const answer = await submit(await get(page), typed);
  expect(answer.status).toBe(422);
  expect(answer.document.title).toMatch(/^Not saved: /);
  expect(mistakesOf(answer).map((one) => one.field)).toEqual(fields);
  const kept = formValues(findForm(answer));
  for (const [name, value] of Object.entries(typed)) expect(kept[name], name).toBe(value);
  expect(readLedger(db)).toEqual(firstLedger);
});

test('A field that the form does not have is refused', async () => {
  const { get, post, db } = await startApp();
  const fields = { ...formValues(findForm(await get(page))), 'weight-joy': '10' };
  const answer = await post(page, fields);
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toHaveLength(1);
  expect(readLedger(db)).toEqual(firstLedger);
});

test('A change made elsewhere meanwhile is shown beside what was typed, and sending again replaces it', async () => {
  const { get, submit, db } = await startApp();
  const opened = await get(page);
  changeLedger(db, 1, { needWeights: { ...firstLedger.needWeights, heat: 25 }, creditMonths: 3 });
  const conflict = await submit(opened, { credit: '6' });
  expect(conflict.status).toBe(409);
  expect(textOf(conflict.document.querySelector('.conflict h2'))).toContain(
    'the list of value choices was changed elsewhere',
  );
  expect([...conflict.document.querySelectorAll('.conflict tbody tr')].map(textOf)).toEqual([
    'Weight of heat2520',
    'Months of credit36',
  ]);
  expect(readLedger(db)).toMatchObject({ creditMonths: 3, version: 2 });
  expect((await submit(conflict)).status).toBe(303);
  expect(readLedger(db)).toMatchObject({ creditMonths: 6, needWeights: firstLedger.needWeights, version: 3 });
});

test('One kind of choice goes back to the defaults after a question that says what changes', async () => {
  const { get, submit, db } = await startApp();
  await submit(await get(page), chosen);
  const link = (await get(page)).document.querySelector(`a[href="${paths.valueChoices.oneDefault('weights')}"]`);
  expect(link?.getAttribute('aria-label')).toBe('Back to the default: how much each need weighs');
  const question = await get(paths.valueChoices.oneDefault('weights'));
  expect(textsOf(question, '.reason-list li')).toEqual([
    'Weight of UV: 0 becomes 15.',
    'Weight of space: 60 becomes 20.',
  ]);
  expect(readLedger(db).needWeights.space).toBe(60);
  const done = await submit(question);
  expect([done.status, done.location]).toEqual([303, `${page}?done=choices-saved`]);
  expect(readLedger(db)).toMatchObject({
    needWeights: firstLedger.needWeights,
    allowances: { ...firstLedger.allowances, heat: 0 },
    priority: [5, 1, 0],
  });
  expect((await get(page)).document.querySelector(`a[href="${paths.valueChoices.oneDefault('weights')}"]`)).toBeNull();
});

test('All value choices go back to the defaults at once, and everything else stays', async () => {
  const { get, submit, db } = await startApp();
  changeLedger(db, 1, { unitSystem: 'imperial', ruleSets: ['CH'] });
  await submit(await get(page), chosen);
  const question = await get(paths.valueChoices.allDefault);
  expect(textsOf(question, '.reason-list li')).toHaveLength(Object.keys(chosen).length);
  expect((await submit(question)).status).toBe(303);
  expect(readLedger(db)).toEqual({ ...firstLedger, unitSystem: 'imperial', ruleSets: ['CH'], version: 4 });
  // Nothing is left to ask.
  expect(await get(paths.valueChoices.allDefault)).toMatchObject({ status: 303, location: page });
});

test('A question that is out of date changes nothing, and there is none about a choice there is not', async () => {
  const { get, submit, post, db } = await startApp();
  await submit(await get(page), chosen);
  const question = await get(paths.valueChoices.oneDefault('credit'));
  changeLedger(db, 2, { creditMonths: 4 });
  expect((await submit(question)).status).toBe(409);
  expect(readLedger(db).creditMonths).toBe(4);
  expect((await get(paths.valueChoices.oneDefault('luck'))).status).toBe(404);
  expect((await post(paths.valueChoices.oneDefault('luck'), { version: '3' })).status).toBe(404);
  expect((await post(paths.valueChoices.oneDefault('credit'))).status).toBe(422);
});

function pageScore(app: TestApp): number {
  return scoreCollection(gatherScoring(app.db, library, testMoment).scoring).scored[0]!.score.score;
}

function plannedScore(app: TestApp): number {
  const result = evaluateSchedule(buildProblem(gatherFacts(app.db, library, today)).problem, []);
  if (result.status !== 'feasible') throw new Error(result.rule);
  return result.animals[0]!.months[0]!.score;
}

test('What is chosen decides the score on the page of the animal, and the plan counts the same', async () => {
  const app = await smallLedger();
  const before = pageScore(app);
  expect(plannedScore(app)).toBe(before);
  await app.submit(await app.get(page), {
    ...Object.fromEntries(NEEDS.map((need) => [`allowance-${need}`, '100'])),
    ...Object.fromEntries(
      NEEDS.map((need) => [`weight-${need}`, need === 'uv' ? '99' : need === 'safety' ? '1' : '0']),
    ),
    'priority-above70': '0',
    horizon: '7',
    credit: '2',
  });
  // By hand: a leopard gecko without a lamp has 40 of 100 for UV, which is optional, and it was never asked whether it is kept safely.
  const after = pageScore(app);
  expect(after).not.toBeCloseTo(before, 1);
  expect(after).toBeCloseTo((99 * 40 + 50) / 100, 9);
  expect(plannedScore(app)).toBe(after);
  expect(textOf(await app.get(paths.animals.show(1)))).toContain(String(Math.round(after)));
  const { problem } = buildProblem(gatherFacts(app.db, library, today));
  expect(problem).toMatchObject({ priority: [3, 2, 0], months: 7, creditMonths: 2 });
});

test('The month table of the money reaches as far as a plan looks', async () => {
  const app = await smallLedger();
  await app.submit(await app.get(page), { horizon: '18' });
  expect(tableRows(await app.get(paths.money), 'Owed and in hand')).toHaveLength(18);
});

test('The money of a plan that looks further ahead begins with that of a shorter one, on which the effects of other horizons rest', async () => {
  const { db } = await smallLedger();
  keepFitting(db, makeFitting('uv-tube', { id: '1', lifeMonths: 5, renewalPrice: money(29_90), watts: 24 }));
  addOneOffSum(db, { month: plainMonth('2026-04'), amount: money(-9_00), note: 'x', canWait: false });
  addOneOffSum(db, { month: plainMonth('2027-03'), amount: money(50_00), note: 'y', canWait: false });
  changeLedger(db, readLedger(db).version, { coversFood: true, monthlyFood: money(3_00) });
  const over = (horizonMonths: number) => {
    changeLedger(db, readLedger(db).version, { horizonMonths });
    return gatherFacts(db, library, today).money;
  };
  const [short, long] = [over(6), over(18)];
  expect(long.income.slice(0, 6)).toEqual(short.income);
  expect(long.committed.slice(0, 6)).toEqual(short.committed);
  expect({ ...long, income: [], committed: [] }).toEqual({ ...short, income: [], committed: [] });
  expect(short.owned).toHaveLength(1);
  expect(short.committed[3]).toBeGreaterThan(short.committed[2]!);
});

test('What weighs nothing and holds nothing down is bought by no plan', async () => {
  const app = await smallLedger();
  await planNow(app.db, library, today, 300);
  expect(latestPlan(app.db)!.answer).toMatchObject({ buys: expect.arrayContaining([{ purchase: '1', month: 0 }]) });
  await app.submit(await app.get(page), { 'weight-hides': '0', 'allowance-hides': '100', threshold: '0' });
  await planNow(app.db, library, today, 300);
  // What costs nothing may stay where it was.
  expect(latestPlan(app.db)!.answer).toMatchObject({ status: 'optimal', spend: 0, buys: [{ purchase: '2' }] });
});

/** A kept plan that buys the two hides that cost money later than they could be, and nothing that costs nothing. */
async function keepSlowPlan(app: TestApp): Promise<void> {
  await planNow(app.db, library, today, 300);
  const { id: _, ...plan } = latestPlan(app.db)!;
  if (!('buys' in plan.answer)) throw new Error(plan.answer.status);
  const buys = plan.answer.buys.map((one) => ({ ...one, month: 7 }));
  savePlan(app.db, { ...plan, answer: { ...plan.answer, buys } });
}

test('The threshold decides whether the last plan is kept to, and the page says what it held back', async () => {
  const app = await smallLedger();
  await keepSlowPlan(app);
  expect(part(await app.get(page), 'threshold')).toContain('follows from no earlier one');
  await app.submit(await app.get(page), { threshold: '1000' });
  await planNow(app.db, library, today, 300);
  const kept = latestPlan(app.db)!;
  expect(kept.sinceLast).toMatchObject({ threshold: 1000, changes: [] });
  expect(kept.sinceLast!.held.length).toBeGreaterThan(1);
  const words = part(await app.get(page), 'threshold');
  expect(words).toContain(`In the present plan ${kept.sinceLast!.held.length} changes were held back`);
  expect(words).toContain('each had to gain 1000 weighted points × months');
  await app.submit(await app.get(page), { threshold: '0' });
  await planNow(app.db, library, today, 300);
  const moved = latestPlan(app.db)!;
  expect(moved.sinceLast).toMatchObject({ threshold: 0, held: [] });
  expect(moved.sinceLast!.changes.length).toBeGreaterThan(1);
  expect(part(await app.get(page), 'threshold')).toContain('nothing was held back');
});

const effect = (parts: Partial<PlanEffect>): PlanEffect => ({
  status: 'planned',
  changes: [{ purchase: '1', was: 0, is: null }],
  byPresent: { severe: 0, weighted: -12, points: 20, spend: -2500 },
  byOther: { severe: 0, weighted: 30, points: 20, spend: -2500 },
  proved: true,
  ...parts,
});

test('What another choice would do to the present plan stands beside the choice, as far as it was worked out', async () => {
  const app = await smallLedger();
  await planNow(app.db, library, today, 300);
  const { id } = latestPlan(app.db)!;
  expect(part(await app.get(page), 'priority')).toContain('Not worked out.');
  const found: ChoiceEffect[] = [
    { choice: 'priority', alternative: 'flat', outcome: effect({}) },
    { choice: 'weights', alternative: 'equal', outcome: effect({ changes: [] }) },
    { choice: 'credit', alternative: 'none', months: 0, outcome: { status: 'impossible' } },
  ];
  saveStudy(app.db, id, 'choices', { state: 'out-of-time', found });
  const answer = await app.get(page);
  const items = (choice: string) => textsOf(answer, `#choice-${choice} .reason-list li`);
  expect(items('priority')).toHaveLength(2);
  expect(items('priority')[0]).toContain('Putting the worst off first costs 20 points × months');
  expect(items('priority')[1]).toContain('Every point counted once');
  expect(items('priority')[1]).toContain('Warm cave');
  expect(items('priority')[1]).toMatch(
    /By your present choices .* 20 points × months more, 12 weighted points × months less and €25\.00 less spent/,
  );
  expect(items('priority')[1]).toMatch(
    /By that choice it has 20 points × months more than the present plan\. Proved\./,
  );
  // What is known stands there although not everything is known.
  expect(part(answer, 'priority')).toContain('Its time was over');
  expect(items('weights')).toEqual(['All needs weighed the same: the plan stays as it is.']);
  expect(items('credit')).toEqual(['No months counted beyond the plan: no plan is possible.']);
  expect(items('horizon')).toEqual([]);
  expect(part(answer, 'horizon')).toContain('Its time was over before everything was worked out');
  expect(textOf(answer)).not.toContain('This is about the plan of');
  await app.submit(answer, { credit: '5' });
  expect(textOf(await app.get(page))).toContain(
    'This is about the plan of 15 January 2026; something was changed after it was made.',
  );
  expect(latestPlan(app.db)!.ledgerVersion).toBeLessThan(ledgerVersion(app.db));
});

test('The page is linked from the settings, the money, the roadmap and what is said about the score', async () => {
  const app = await startApp();
  keepGecko(app.db);
  for (const from of [paths.settings, paths.money, paths.roadmap.show, paths.about]) {
    const answer = await app.get(from);
    expect(answer.document.querySelector(`main a[href="${page}"]`), from).not.toBeNull();
  }
});

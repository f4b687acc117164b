import { expect, test } from 'vitest';
import { addFitting, saveAnswers } from '../../../server/db/collection.ts';
import { changeLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { addOneOffSum } from '../../../server/db/money.ts';
import { findPlan, latestPlan, type SinceLast, savePlan } from '../../../server/db/plans.ts';
import { saveStudy } from '../../../server/db/studies.ts';
import { buyUpgrade, pinUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { gatherFacts } from '../../../server/planning.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { buildProblem } from '../../../src/ledger-problem.ts';
import { money } from '../../../src/money.ts';
import type { Buy, FoundAnswer, PlanAnswer } from '../../../src/problem.ts';
import { drawRoadmap } from '../../../src/roadmap.ts';
import type { SoonestFree } from '../../../src/soonest.ts';
import type { CareLibrary } from '../../../src/species.ts';
import type { OtherPlan } from '../../../src/what-if.ts';
import { type Answer, startApp, type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { keepGecko, keepMoney, keepReading, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library, makeFitting, makeReading } from '../../support/make.ts';

const today = plainDate('2026-01-15');

/** Keeps a plan of these buys as of 15 January 2026, as the planning would, with any answer. */
function keepPlan(
  { db }: TestApp,
  buys: Buy[],
  answer: Partial<PlanAnswer> = {},
  sinceLast: SinceLast | null = null,
): void {
  const facts = gatherFacts(db, library, today);
  const built = buildProblem(facts);
  const roadmap = drawRoadmap(facts, built, buys);
  const found = { status: 'best-found', buys, severeBound: null, weightedBound: null, rounds: 9, spend: 0, mean: 0 };
  savePlan(db, {
    madeOn: today,
    firstMonth: facts.firstMonth,
    problem: built.problem,
    answer: { ...found, severe: 0, weighted: 1000, ...answer } as PlanAnswer,
    roadmap: { ...roadmap, currency: readLedger(db).currency },
    ledgerVersion: ledgerVersion(db),
    sinceLast,
  });
}

const wholePlan = [
  { purchase: '1', month: 0 },
  { purchase: '2', month: 0 },
  { purchase: '3', month: 3 },
];

/** The library with nothing asked of an enclosure but hides, the checks and the humidity of the air. */
const hidesAlone: CareLibrary = {
  ...library,
  species: library.species.map((one) => ({
    ...one,
    temperatures: [],
    space: [],
    enrichment: { ...one.enrichment, kinds: [] },
    uv: { ...one.uv, zones: [] },
    humidity: { ...one.humidity, moistRetreat: 'not-needed' as const },
  })),
};

/** Answers the checks and reads the humidity of the enclosure 1, so that its hides alone decide. */
function answerTheRest({ db }: TestApp): void {
  const given = { enclosureId: '1', answer: 'yes' as const, answeredOn: today };
  saveAnswers(db, [
    { ...given, check: 'escape-proof' },
    { ...given, check: 'nothing-toxic' },
  ]);
  const { low, high } = library.species.find((one) => one.id === 'leopard-gecko')!.humidity.day;
  keepReading(db, makeReading('humidity-day', (low + high) / 2));
}

async function smallPlan(): Promise<TestApp> {
  const app = await startApp();
  keepSmallLedger(app.db);
  keepPlan(app, wholePlan);
  return app;
}

/** A plan of very many purchases, animals and reasons, drawn from a small one. */
async function largePlan(): Promise<TestApp> {
  const app = await smallPlan();
  const { roadmap, id: _, ...rest } = latestPlan(app.db)!;
  const many = <One extends object>(count: number, one: One, name: string) =>
    Array.from({ length: count }, (_, index) => ({ ...one, name: `${name} ${index}.` }));
  const [first, ...later] = roadmap!.months;
  const buy = roadmap!.months.flatMap(({ buys }) => buys).find(({ price }) => price > 0)!;
  const [animal] = roadmap!.animals;
  savePlan(app.db, {
    ...rest,
    roadmap: {
      ...roadmap!,
      months: [
        { ...first!, buys: [...many(30, buy, 'Bought'), ...many(80, { ...buy, price: money(0) }, 'Free')] },
        ...later,
      ],
      animals: many(25, animal!, 'Animal'),
      notBought: many(50, { upgradeId: '1', price: money(100), why: { why: 'adds-nothing' as const } }, 'Unbought'),
    },
  });
  return app;
}

async function untilPlanned(app: TestApp): Promise<Answer> {
  for (;;) {
    const answer = await app.get(paths.roadmap.progress);
    if (answer.status === 303) return answer;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

test('Without animals, money or upgrades the page says what is missing and where to enter it, and planning does nothing', async () => {
  const app = await startApp();
  const heading = async () => {
    expect((await app.post(paths.roadmap.plan)).location).toBe(paths.roadmap.show);
    const page = await app.get(paths.roadmap.show);
    const link = page.document.querySelector('.empty-state a');
    return [textOf(page.document.querySelector('.empty-state h2')), link?.getAttribute('href')];
  };
  expect(await heading()).toEqual(['No animal to plan for yet', paths.enclosures.new]);
  keepGecko(app.db);
  expect(await heading()).toEqual(['No money to plan with yet', paths.moneyChange]);
  keepMoney(app.db, 2000, 3000);
  // Ember has nothing that warms, which is severe: planning would put that on the list, so it is refused first.
  await app.post(paths.upgrades.refuseProposal, { key: '1:kit warm-hide-floor' });
  expect(await heading()).toEqual(['No upgrade is wanted yet', paths.upgrades.list]);
  wantHide(app.db, 'Warm cave', 'warm', 2500);
  const page = await app.get(paths.roadmap.show);
  expect(page.document.querySelector('.empty-state')).toBeNull();
  expect(textsOf(page, 'main button')).toEqual(['Plan']);
});

test('The lists of a plan of very many purchases are turned by links, each row on one of their pages, or shown whole', async () => {
  const app = await largePlan();
  const met = async (id: string, rows: string, start: string = paths.roadmap.show) => {
    const pages: string[][] = [];
    for (let next: string | null = start; next !== null; ) {
      const page: Answer = await app.get(next);
      pages.push(textsOf(page, rows));
      next = page.document.querySelector(`#${id} .pages a[rel=next]`)?.getAttribute('href') ?? null;
    }
    return { sizes: pages.map(({ length }) => length), distinct: new Set(pages.flat()).size };
  };
  expect(await met('months', '.month-name')).toEqual({ sizes: Array(12).fill(1), distinct: 12 });
  expect((await met('buys', '#buys h3')).sizes).toEqual([25, 5]);
  expect(await met('free', '#free li > strong')).toEqual({ sizes: [40, 40], distinct: 80 });
  expect(await met('scores', '#scores figcaption')).toEqual({ sizes: [20, 5], distinct: 25 });
  expect(await met('not-bought', '#not-bought li > strong')).toEqual({ sizes: [40, 10], distinct: 50 });
  expect((await met('months', '.month-name', `${paths.roadmap.show}?months=all`)).sizes).toEqual([12]);
  expect((await met('months', '.month-name', `${paths.roadmap.older(2)}?months=12`)).sizes).toEqual([1]);
  const folded = async (address: string) =>
    (await app.get(address)).document.querySelector('#not-bought details')!.hasAttribute('open');
  expect([await folded(paths.roadmap.show), await folded(`${paths.roadmap.show}?not-bought=2`)]).toEqual([false, true]);
});

test('Planning by the button leads over the progress to a roadmap that is kept', async () => {
  const app = await startApp({ planningMilliseconds: 300 });
  keepSmallLedger(app.db);
  expect(await app.post(paths.roadmap.plan)).toMatchObject({ status: 303, location: paths.roadmap.progress });
  const progress = await app.get(paths.roadmap.progress);
  expect(textOf(progress)).toContain('A plan is being made');
  expect(progress.document.querySelector(`main a[href="${paths.roadmap.progress}"]`)).not.toBeNull();
  expect(progress.document.querySelector(`form[action="${paths.roadmap.stop}"]`)).not.toBeNull();
  // A second request joins the planning under way.
  expect((await app.post(paths.roadmap.plan)).location).toBe(paths.roadmap.progress);
  expect((await untilPlanned(app)).location).toBe(paths.roadmap.show);
  const page = await app.get(paths.roadmap.show);
  expect(textOf(page.document.querySelector('.lead'))).toBe(
    'Made on 15 January 2026, from January 2026 on for 12 months.',
  );
  expect(latestPlan(app.db)?.id).toBe('1');
  expect(textsOf(page, '.month-name')).toHaveLength(12);
});

test('While a plan is looked for the page says what the best one gains and what is proved, and stopping keeps it', async () => {
  const app = await startApp({ planningMilliseconds: 60_000, library: hidesAlone });
  keepSmallLedger(app.db);
  for (let index = 0; index < 12; index++)
    wantHide(app.db, `Cave ${index}`, 'warm', 700 + 90 * index, { group: 'warm' });
  answerTheRest(app);
  await app.post(paths.roadmap.plan);
  while (!textOf(await app.get(paths.roadmap.progress)).includes('Looking for a better plan'))
    await new Promise((resolve) => setTimeout(resolve, 50));
  let progress = await app.get(paths.roadmap.progress);
  while (!textOf(progress).includes('What it gains over what is fixed alone')) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    progress = await app.get(paths.roadmap.progress);
  }
  const facts = new Map(
    [...progress.document.querySelectorAll('.facts dt')].map((term, index) => [
      textOf(term),
      textOf([...progress.document.querySelectorAll('.facts dd')][index]!),
    ]),
  );
  expect(facts.get('What it gains over what is fixed alone')).toMatch(/^[1-9]\d* points × months$/);
  expect(facts.get('Severe shortfalls × months')).toBe('none, 0 with the plan');
  expect(facts.get('What is proved so far')).toMatch(/severe shortfalls.*\. (How much|None with as few)/);
  expect((await app.post(paths.roadmap.stop)).location).toBe(paths.roadmap.progress);
  await untilPlanned(app);
  expect(latestPlan(app.db)?.roadmap).not.toBeNull();
});

test('This month comes first: what to buy, for whom, what it changes, why now, and what to do with it', async () => {
  const app = await smallPlan();
  const page = await app.get(paths.roadmap.show);
  const decision = page.document.querySelector('.decision');
  expect(textOf(decision?.querySelector('h2') ?? null)).toBe('January 2026: one purchase');
  expect(textOf(decision)).toContain('€25.00 this month; €5.00 in hand at its end.');
  expect(textOf(decision)).toContain('Warm cave €25.00 for Ember. In use in the same month.');
  expect(textOf(decision)).toContain('Ember: Hides rises from 45 to 85.');
  expect(textOf(decision)).toContain('It can be paid now.');
  const links = [...(decision?.querySelectorAll('.actions a') ?? [])].map((one) => one.getAttribute('href'));
  const { bought, notBought, pin, show } = paths.upgrades;
  expect(links).toEqual([bought('1'), notBought('1'), pin('1'), show('1')]);
  for (const link of links) expect((await app.get(link!)).status, link!).toBe(200);
  // The free action stands apart, with its own link.
  expect(textOf(page)).toContain('Cardboard hide, for Ember.');
  expect(page.document.querySelector(`a[href="${paths.upgrades.fitted('2')}"]`)).not.toBeNull();
});

test('Each month gives its purchases, the cash left, what is saved for, and the scores that move', async () => {
  const page = await (await smallPlan()).get(paths.roadmap.show);
  const months = textsOf(page, '.month');
  expect(months[1]).toContain('Saving for “Moss box” (€60.00) in April 2026.');
  // What is saved for is said once.
  expect(months[2]).toContain('Nothing to buy.');
  expect(months[2]).not.toContain('aving for');
  expect(months[1]).toContain('in hand €25.00');
  expect(months[3]).toContain('2. Moss box, for Ember €60.00');
  expect(months[3]).toContain('in hand €5.00');
  expect(tableRows(page, 'Cash by month')[3]).toEqual(['Apr 26', '€20.00', '€0.00', '€60.00', '–', '€5.00']);
});

test('The drawings say their finding in words, and the table beside them holds the scores with the plan and without', async () => {
  const app = await smallPlan();
  const page = await app.get(paths.roadmap.show);
  const { roadmap } = latestPlan(app.db)!;
  const drawings = [...page.document.querySelectorAll('main svg[role="img"]')];
  expect(drawings).toHaveLength(2);
  for (const one of drawings) {
    const named = (one.getAttribute('aria-labelledby') ?? '')
      .split(' ')
      .map((id) => textOf(page.document.getElementById(id)));
    expect(named).toHaveLength(2);
    expect(named.every((text) => text.length > 10)).toBe(true);
  }
  const ember = roadmap!.animals[0]!;
  const rows = tableRows(page, 'Scores by month, of 100');
  expect(rows).toEqual([
    ['Ember, plan', ...ember.planned.map((score) => String(Math.round(score)))],
    ['Ember, nothing', ...ember.baseline.map((score) => String(Math.round(score)))],
  ]);
  expect(textsOf(page, '#scores thead th').slice(0, 2)).toEqual(['Animal', 'Jan 26']);
  expect(textOf(page.document.getElementById('scores-1-description'))).toContain(
    `ends at ${Math.round(ember.baseline[11]!)}`,
  );
  expect([...page.document.querySelectorAll('#cash-title')].length).toBe(1);
});

test.each([
  [{ status: 'optimal' as const, severeBound: 0, weightedBound: 1000 }, 'Proved best'],
  [{ status: 'within-bound' as const, severeBound: 0, weightedBound: 1030 }, 'more than 3.0 % more weighted points'],
  [{ status: 'best-found' as const }, 'That no better one exists was not proved'],
])('How good a plan is says no more than was proved: %o', async (answer, words) => {
  const app = await startApp();
  keepSmallLedger(app.db);
  keepPlan(app, wholePlan, answer);
  const text = textOf(await app.get(paths.roadmap.show));
  expect(text).toContain(words);
  expect(text.includes('Proved best')).toBe(answer.status === 'optimal');
  expect(text.toLowerCase()).not.toContain('optimal');
});

test('What did not fit and what was left out stand with their reasons', async () => {
  const app = await startApp();
  keepSmallLedger(app.db);
  wantHide(app.db, 'Palace', 'warm', 90_000);
  wantHide(app.db, 'Later', 'cool', 100, { pinnedMonth: plainMonth('2028-01') });
  keepPlan(app, wholePlan);
  const lines = textsOf(await app.get(paths.roadmap.show), '.reason-list li');
  expect(lines.find((one) => one.startsWith('Palace'))).toContain(
    'It cannot be paid within the plan even if nothing else is bought: €650.00 are missing at best.',
  );
  expect(lines.find((one) => one.startsWith('Later'))).toContain('after the last month');
});

test('After a change the plan is called out of date, and so it is when its month has passed', async () => {
  const app = await smallPlan();
  expect(textOf(await app.get(paths.roadmap.show))).not.toContain('out of date');
  pinUpgrade(app.db, 3, 1, plainMonth('2026-06'));
  const stale = textOf(await app.get(paths.roadmap.show));
  expect(stale).toContain('The plan is out of date');
  expect(stale).toContain('was changed after it was made');
  const later = await startApp({ db: app.db, now: () => new Date('2026-02-03T12:00:00Z') });
  expect(textOf(await later.get(paths.roadmap.show))).toContain('begins in January 2026, which is over');
});

test('A purchase that was bought since says so and asks to be fitted', async () => {
  const app = await smallPlan();
  buyUpgrade(app.db, 1, 1, { boughtOn: today, paid: money(2400), arrivesMonth: null });
  const decision = (await app.get(paths.roadmap.show)).document.querySelector('.decision');
  expect(textOf(decision)).toContain('Bought since');
  expect(decision?.querySelector(`a[href="${paths.upgrades.fitted('1')}"]`)).not.toBeNull();
  expect(decision?.querySelector(`a[href="${paths.upgrades.bought('1')}"]`)).toBeNull();
});

test('An older plan stays as it was and offers nothing to do', async () => {
  const app = await smallPlan();
  buyUpgrade(app.db, 1, 1, { boughtOn: today, paid: money(2400), arrivesMonth: null });
  keepPlan(app, [{ purchase: '1', month: 0 }]);
  const older = await app.get(paths.roadmap.older(1));
  expect(older.document.title).toContain('Plan of 15 January 2026');
  expect(textOf(older)).toContain('January 2026: one purchase');
  expect(textOf(older)).not.toContain('Bought since');
  expect([...older.document.querySelectorAll('main form'), ...older.document.querySelectorAll('.decision a')]).toEqual(
    [],
  );
  const list = await app.get(paths.roadmap.show);
  const links = [...list.document.querySelectorAll('main a')].map((one) => one.getAttribute('href'));
  expect(links).toContain(paths.roadmap.older('1'));
  expect(findPlan(app.db, 1)?.roadmap?.months[0]?.buys).toHaveLength(2);
  expect((await app.get(paths.roadmap.older(99))).status).toBe(404);
  expect((await app.get(paths.roadmap.older('x'))).status).toBe(404);
});

test('Where there is no plan that can be paid, the page names the month, the amount and what could wait', async () => {
  const app = await startApp({ planningMilliseconds: 300 });
  keepSmallLedger(app.db);
  wantHide(app.db, 'Dear cave', 'warm', 10_000, { pinnedMonth: plainMonth('2026-03') });
  addOneOffSum(app.db, { month: plainMonth('2026-02'), amount: money(-6000), note: 'New tyres', canWait: true });
  await app.post(paths.roadmap.plan);
  await untilPlanned(app);
  const text = textOf(await app.get(paths.roadmap.show));
  expect(text).toContain('There is no plan that can be paid');
  // In February 30.00 and 20.00 are there, and 60.00 are owed; March brings 20.00, of which 10.00 are left.
  expect(text).toContain('in March 2026 the money is €90.00 short');
  expect(text).toContain('In February 2026 you are €10.00 short, before anything new is bought.');
  expect(text).toContain('Could be put off: “New tyres”');
  // What is free waits for no money.
  const home = await app.get(paths.home);
  expect(textOf(home)).toContain('There is no plan that can be paid');
  expect(textsOf(home, '#decision a.press')).toEqual(['Done']);
  expect(textOf(home.document.querySelector('#decision'))).toContain('Cardboard hide, for Ember.');
});

test('A floor that is broken today leaves a plan, and both pages say until when and by how much', async () => {
  const app = await startApp();
  keepSmallLedger(app.db);
  changeLedger(app.db, readLedger(app.db).version, { floorKept: money(6000) });
  keepPlan(app, [
    { purchase: '1', month: 3 },
    { purchase: '2', month: 0 },
  ]);
  // 30.00 in January, 50.00 in February, 70.00 in March.
  const told =
    'Until March 2026 you are under the floor of €60.00 that you keep: €30.00 of it are missing at the end of January 2026, with nothing bought. What costs money waits until March 2026; what is free does not.';
  for (const page of [paths.roadmap.show, paths.home]) {
    const text = textOf(await app.get(page));
    expect(text).toContain(told);
    expect(text).toContain('Cardboard hide');
  }
  expect(textOf(await app.get(paths.upgrades.show(1)))).toContain('The latest plan buys it in April 2026.');
  addOneOffSum(app.db, { month: plainMonth('2026-02'), amount: money(-40_000), note: 'Vet', canWait: false });
  keepPlan(app, [{ purchase: '2', month: 0 }]);
  expect(textOf(await app.get(paths.home))).toContain(
    'What is owed already cannot be paid within this plan: at the end of February 2026 €350.00 are missing.',
  );
});

test('A budget too small for anything gives a plan that buys nothing and says what is missing', async () => {
  const app = await startApp();
  keepGecko(app.db);
  keepMoney(app.db, 10, 0);
  wantHide(app.db, 'Warm cave', 'warm', 2500);
  keepPlan(app, []);
  const page = await app.get(paths.roadmap.show);
  expect(textOf(page.document.querySelector('.decision'))).toContain('nothing to buy');
  expect(textOf(page)).toContain('€23.90 are missing at best');
  // Where the keeper looks for what they entered it says the same.
  expect(textOf(await app.get(paths.upgrades.show(1)))).toContain('The latest plan does not buy it. It cannot be paid');
});

test('A planning that broke off is told in a plain sentence, and the last plan is still shown', async () => {
  const lines: string[] = [];
  const app = await startApp({
    library: { ...library },
    log: { write: (line) => lines.push(line) },
    planningMilliseconds: 200,
  });
  keepSmallLedger(app.db);
  keepPlan(app, wholePlan);
  // A list that is none is what no form lets through; the tube is fitted in a month that only a plan looks into.
  const { id: _, ...tube } = makeFitting('uv-tube', { id: '1', fittedOn: plainDate('2026-03-01'), distanceMm: 300 });
  addFitting(app.db, { ...tube, distanceTyped: '30 cm', upgradeId: null });
  app.db.$client.prepare('UPDATE fittings SET expects = ?').run('5');
  await app.post(paths.roadmap.plan);
  await untilPlanned(app);
  const text = textOf(await app.get(paths.roadmap.show));
  expect(text).toContain('The last planning broke off because of a fault in the program.');
  expect(text).toContain('January 2026: one purchase');
  expect(lines.join()).toContain('planning failed');
});

test('When every need is met, the page says that nothing needs to be bought', async () => {
  const species = hidesAlone.species.map((one) => ({ ...one, hides: { ...one.hides, zones: [] } }));
  const app = await startApp({ library: { ...library, species } });
  keepSmallLedger(app.db);
  keepPlan(app, []);
  const said = async () => textOf(await app.get(paths.roadmap.show)).includes('Every need is at its target or near it');
  expect(await said()).toBe(false);
  answerTheRest(app);
  expect(await said()).toBe(true);
});

const noDifference = { severe: 0, weighted: 0, points: 0, spend: 0 };
const noFigures = { severe: 0, weighted: 1000, mean: 900, spend: 0 };

/** A plan for another question, with what matters to the page. */
function otherPlan(parts: Partial<OtherPlan> = {}): OtherPlan {
  return {
    status: 'planned',
    buys: wholePlan,
    objective: noFigures,
    difference: noDifference,
    changes: [],
    proved: false,
    ...parts,
  };
}

function studyText(page: Answer, id: string): string {
  const study = page.document.getElementById(id);
  if (study === null) throw new Error(`there is no study ${id}`);
  return textOf(study);
}

test('A plan that was not studied says so and offers to have it worked out, and every study is folded', async () => {
  const app = await smallPlan();
  const before = await app.get(paths.roadmap.show);
  expect(textOf(before.document.getElementById('studies'))).toContain('was not worked out for it');
  expect((await app.post(paths.roadmap.study)).location).toBe(paths.roadmap.show);
  const during = await app.get(paths.roadmap.show);
  expect(textOf(during.document.getElementById('studies'))).toContain('Being worked out in the background: 0 of 6');
  expect(during.document.querySelector(`#studies form[action="${paths.roadmap.stop}"]`)).not.toBeNull();
  expect(studyText(during, 'objections')).toMatch(/Still (to be|being) worked out/);
  while (/Being worked out/.test(textOf((await app.get(paths.roadmap.show)).document.getElementById('studies'))))
    await new Promise((resolve) => setTimeout(resolve, 200));
  const after = await app.get(paths.roadmap.show);
  expect(after.document.querySelector('#studies form')).toBeNull();
  const folded = [...after.document.querySelectorAll('#studies details')];
  expect(folded.map((one) => one.id)).toEqual([
    'runner-up',
    'useful-amounts',
    'soonest',
    'measuring',
    'objections',
    'firmness',
    'other-choices',
  ]);
  expect(folded.every((one) => !one.hasAttribute('open'))).toBe(true);
  expect(textOf(after)).not.toContain('Not worked out');
  expect(
    tableRows(after, 'If you refused what the plan buys')
      .map((row) => row[0])
      .sort(),
  ).toEqual(['Cardboard hide', 'Moss box', 'Warm cave']);
});

test('Each purchase says in how many of the compared plans it is bought, once there is another plan', async () => {
  const app = await smallPlan();
  const present = { name: 'present' as const, buys: wholePlan, proved: true };
  saveStudy(app.db, '1', 'robust', { state: 'under-way', found: [present] });
  expect(textOf(await app.get(paths.roadmap.show))).not.toContain('plans that were tried');
  const without = (purchase: string) => wholePlan.filter((one) => one.purchase !== purchase);
  saveStudy(app.db, '1', 'robust', {
    state: 'whole',
    found: [
      present,
      { name: 'weights-equal', buys: without('3'), proved: true },
      { name: 'evidence-low', buys: without('3').map((one) => ({ ...one, month: 1 })), proved: false },
    ],
  });
  const page = await app.get(paths.roadmap.show);
  expect(textOf(page.document.querySelector('.decision'))).toContain(
    'It is bought in all 3 plans that were compared (this one and 2 made with other weights or other values).',
  );
  expect(textsOf(page, '.month')[3]).toContain('It is bought in only one of the 3 plans that were compared');
  const firm = studyText(page, 'firmness');
  expect(firm).toContain('1 of 2 to be paid for are in all 3 plans');
  expect(firm).toContain('All needs weighed the same, proved best: Not bought: “Moss box”.');
  expect(firm).toContain('Every value at the low end of its range:');
  expect(textsOf(page, '#firmness li')).toEqual([
    'Not bought: “Moss box”.',
    'Not bought: “Moss box”.',
    'One purchase in another month.',
  ]);
});

test('An objection that betters the plan stands before all that cost something', async () => {
  const app = await smallPlan();
  const refusing = (purchase: string, severe: number, weighted: number) => ({
    purchase,
    forced: 'out' as const,
    outcome: {
      ...otherPlan({
        difference: { severe, weighted, points: weighted, spend: 0 },
        objective: { ...noFigures, severe: 4 + severe, weighted: 1000 + weighted },
      }),
      month: null,
    },
  });
  const found = [refusing('3', 3, -20), refusing('2', 0, -5), refusing('1', -2, 72)];
  saveStudy(app.db, '1', 'objections', { state: 'whole', found });
  const rows = tableRows(await app.get(paths.roadmap.show), 'If you refused what the plan buys');
  expect(rows.map(([name]) => name)).toEqual(['Warm cave', 'Moss box', 'Cardboard hide']);
});

test('What objections cost stands dearest first, with the next best plan and its margin', async () => {
  const app = await smallPlan();
  const change = { purchase: '1', was: 0, is: null };
  saveStudy(app.db, '1', 'objections', {
    state: 'whole',
    found: [
      { purchase: '2', forced: 'out', outcome: { ...otherPlan({ proved: true }), month: null } },
      {
        purchase: '1',
        forced: 'out',
        outcome: {
          ...otherPlan({
            difference: { severe: 0, weighted: -12, points: -7.5, spend: -2500 },
            objective: { ...noFigures, weighted: 988 },
            changes: [change],
          }),
          month: null,
        },
      },
      {
        purchase: '3',
        forced: 'out',
        outcome: {
          ...otherPlan({
            difference: { severe: 3, weighted: -20, points: 4, spend: -6000 },
            objective: { ...noFigures, severe: 3, weighted: 980 },
          }),
          month: null,
        },
      },
    ],
  });
  const page = await app.get(paths.roadmap.show);
  expect(tableRows(page, 'If you refused what the plan buys')).toEqual([
    [
      'Moss box',
      '3 severe shortfalls × months more, 4.0 points × months more, 20 weighted points × months less and €60.00 less spent',
    ],
    ['Warm cave', '7.5 points × months less and €25.00 less spent'],
    ['Cardboard hide', 'no difference (proved)'],
  ]);
  const rival = studyText(page, 'runner-up');
  expect(rival).toContain('The next best plan: 7.5 points × months less and €25.00 less spent');
  expect(rival).toContain('It has 1.2 % fewer weighted points. That no other comes closer is not proved.');
  expect(rival).toContain('“Warm cave” is not bought (in this plan: January 2026).');
  // The page of the purchase says the same and leads here.
  const upgrade = await app.get(paths.upgrades.show('1'));
  expect(textOf(upgrade)).toContain(
    'The latest plan buys it. If you refused it, the best plan found then has 7.5 points × months less and €25.00 less spent.',
  );
  expect(upgrade.document.querySelector(`main a[href="${paths.roadmap.show}#objections"]`)).not.toBeNull();
});

test('More and less money is told in steps, with the amounts that change nothing', async () => {
  const app = await smallPlan();
  const step = (amount: number, points: number, parts: Partial<OtherPlan> = {}) => ({
    kind: 'monthly' as const,
    amount,
    outcome: {
      ...otherPlan({
        difference: { ...noDifference, weighted: points, points },
        objective: { ...noFigures, weighted: 1000 + points },
        ...parts,
      }),
      severeEnds: points > 0 ? [{ animalId: '1', was: 5, is: 2 }] : [],
    },
  });
  const earlier = { purchase: '3', was: 3, is: 1 };
  saveStudy(app.db, '1', 'money', {
    state: 'out-of-time',
    found: [
      { kind: 'monthly', amount: -1000, outcome: { status: 'impossible' } },
      step(-500, 0),
      step(0, 0),
      step(500, 0),
      step(1000, 40, { changes: [earlier] }),
      step(1500, 40, { changes: [earlier] }),
    ],
  });
  const text = studyText(await app.get(paths.roadmap.show), 'useful-amounts');
  expect(text).toContain('Its time was over before everything was worked out');
  expect(text).toContain('€10.00 less a month: there is no plan that can be paid and leaves what must stay in hand.');
  expect(text).toContain('Up to €5.00 less a month changes nothing.');
  expect(text).toContain('Up to €5.00 more a month changes nothing.');
  expect(text).toContain(
    '€10.00 more a month (up to €15.00 the same): 40 points × months more. Ember is free of severe shortfalls 3 months earlier. “Moss box” comes 2 months earlier.',
  );
});

test('How soon severe shortfalls can end is told for each animal that has any, with the bridge and what is not proved', async () => {
  const app = await smallPlan();
  const soonest: SoonestFree = {
    animalId: '1',
    now: 2,
    planned: null,
    soonest: { status: 'month', month: 3, buys: [], proved: false },
    bridge: { status: 'found', amount: 4550, month: 1, buys: [], proved: true },
  };
  saveStudy(app.db, '1', 'soonest', { state: 'stopped', found: [soonest] });
  const page = await app.get(paths.roadmap.show);
  expect(tableRows(page, 'When severe shortfalls end')).toEqual([
    ['Ember', '2', 'April 2026, perhaps before', 'not inside the plan', 'February 2026 with €45.50 more'],
  ]);
  expect(studyText(page, 'soonest')).toContain('It was stopped before everything was worked out');
  saveStudy(app.db, '1', 'soonest', {
    state: 'whole',
    found: [
      {
        ...soonest,
        soonest: { status: 'never-inside', needs: ['uv', 'uv@2'] },
        bridge: { status: 'not-with-money' },
      },
    ],
  });
  expect(tableRows(await app.get(paths.roadmap.show), 'When severe shortfalls end')[0]!.slice(2)).toEqual([
    'nothing on the list ends it: UV',
    'not inside the plan',
    'money does not help',
  ]);
  // What would end it waits among the proposals: nothing was found to be in vain.
  const heat: SoonestFree = {
    ...soonest,
    soonest: { status: 'never-inside', needs: ['heat'] },
    bridge: { status: 'not-with-money' },
  };
  saveStudy(app.db, '1', 'soonest', { state: 'whole', found: [heat] });
  const [row] = tableRows(await app.get(paths.roadmap.show), 'When severe shortfalls end');
  expect(row![2]).toMatch(/^heat: “Heat mat.+” \(€44\.00 to €73\.00\) would end it; it is not on your list$/);
  expect(row![4]).toBe('put it on the list and plan again');
});

test('A study that a stop of the program cut off is not called under way', async () => {
  const app = await smallPlan();
  saveStudy(app.db, '1', 'money', { state: 'under-way', found: [] });
  const page = await app.get(paths.roadmap.show);
  expect(studyText(page, 'useful-amounts')).toContain('It was cut off before everything was worked out');
  expect(textOf(page.document.getElementById('studies'))).toContain('Not everything about this plan was worked out.');
});

test('What moved since the last plan stands with its reason, and what was held with a way to plan afresh', async () => {
  const app = await startApp({ planningMilliseconds: 300 });
  keepSmallLedger(app.db);
  keepPlan(app, wholePlan);
  const answer = latestPlan(app.db)!.answer as FoundAnswer;
  keepPlan(
    app,
    wholePlan,
    {},
    {
      planId: '1',
      threshold: 10,
      best: { ...answer, weighted: 1004 },
      changes: [
        { purchase: '1', name: 'Warm cave', was: -1, is: 0, why: 'forced', gain: 5, severe: 0, together: [] },
        { purchase: '2', name: 'Cardboard hide', was: null, is: 0, why: 'gains', gain: 33, severe: 0, together: ['1'] },
        ...['Leaf litter', 'Cork tube', 'Slate'].map((name, index) => {
          const forced = { why: 'forced' as const, gain: 0, severe: 0, together: [] };
          return { purchase: `${7 + index}`, name, was: -2, is: 1, ...forced };
        }),
      ],
      held: [{ purchase: '3', name: 'Moss box', was: 3, is: 2, gain: 4, severe: 0, together: [] }],
    },
  );
  const page = await app.get(paths.roadmap.show);
  const text = textOf(page);
  expect(text).toContain('Changed since the last plan 5 purchases moved.');
  expect(text).toContain(
    '3 purchases move from November 2025 to February 2026. Their earlier month is no longer possible, by itself or beside the rest of the plan. Which they areLeaf litterCork tubeSlate',
  );
  expect(text).toContain(
    '“Warm cave” moves from December 2025 to January 2026. Its earlier month is no longer possible, by itself or beside the rest of the plan.',
  );
  expect(text).toContain(
    '“Cardboard hide” is now bought, in January 2026. It gains 33 weighted points × months. Together with “Warm cave”.',
  );
  expect(text).toContain('Not changed although the search would: one');
  expect(text).toContain('All of these together would gain 4.0 weighted points × months.');
  expect(text).toContain(
    '“Moss box” would move from April 2026 to March 2026, which gains 4.0 weighted points × months.',
  );
  const button = page.document.querySelector('form input[name="afresh"][value="yes"]');
  expect(button).not.toBeNull();
  await app.post(paths.roadmap.plan, { afresh: 'yes' });
  await untilPlanned(app);
  expect(latestPlan(app.db)?.sinceLast).toBeNull();
  expect(textOf(await app.get(paths.roadmap.show))).not.toContain('Changed since the last plan');
  // An older plan tells its changes too, and offers nothing to do.
  const older = await app.get(paths.roadmap.older(2));
  expect(textOf(older)).toContain('Changed since the last plan');
  expect(older.document.querySelector('main form')).toBeNull();
});

test.each([
  [
    { severe: 4, severeBound: 3, weightedBound: 1000.1 },
    [/No plan has fewer than 3 severe shortfalls × months; this one has 4/, /more than 0\.1 % more/],
  ],
  [
    { severe: 0, severeBound: 0, weightedBound: 1000.0005 },
    [/Proved best in the two figures that come first/, /The mean and the money spent were not proved/],
  ],
  [
    { severe: 0, severeBound: 0, weightedBound: 1000.01 },
    [/No plan has fewer severe shortfalls\./, /more than 0\.1 % more/],
  ],
])('The limit that was proved is never told lower than it is: %o', async (answer, said) => {
  const app = await startApp();
  keepSmallLedger(app.db);
  keepPlan(app, wholePlan, { status: 'within-bound', ...answer });
  const text = textOf(await app.get(paths.roadmap.show));
  for (const one of said) expect(text).toMatch(one);
});

// The page about measuring first: what a reading is worth, at the keeper's own chance of a fault, and the meter as a purchase of the plan.

import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { closeDatabase, openDatabase } from '../../../server/db/open.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { type MeasuringWorth, saveStudy, studiesOf } from '../../../server/db/studies.ts';
import { listUpgrades } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { startApp, type TestApp, textOf, textsOf } from '../../support/app.ts';
import { keepGecko, keepMoney, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const page = paths.measuring.show;
const field = 'chance-1-warm-hide-floor';

// The plan itself is the same for all tests: it is made once, and each test gets a copy of its ledger.
let plannedFile: string;

beforeAll(async () => {
  plannedFile = join(mkdtempSync(join(tmpdir(), 'measuring-')), 'planned.sqlite');
  const db = openDatabase(plannedFile);
  keepSmallLedger(db);
  await planNow(db, library, today, 300);
  closeDatabase(db);
});

afterAll(() => rmSync(dirname(plannedFile), { recursive: true }));

async function plannedLedger(): Promise<TestApp> {
  const file = `${plannedFile}-of-a-test`;
  copyFileSync(plannedFile, file);
  return startApp({ db: openDatabase(file) });
}

// A made-up study: without knowing 100 x p or 40; known for nothing 100 x p + 40 x (1 - p); a meter for 30.00 leaves 20 less of each.
function keepStudy({ db }: TestApp, parts: Partial<MeasuringWorth> = {}): void {
  const hide = [{ purchase: '1', month: 0 }];
  const study: MeasuringWorth = {
    reading: { enclosureId: '1', kind: 'warm-hide-floor', fine: 31, faulty: 25, narrows: [] },
    prices: [0, 3000],
    worth: {
      blind: [
        { buys: [], faulty: 40, fine: 40 },
        { buys: hide, faulty: 100, fine: 0 },
      ],
      informed: [0, 20].map((less) => ({
        status: 'planned',
        price: less === 0 ? 0 : 3000,
        faulty: { buys: hide, points: 100 - less },
        fine: { buys: [], points: 40 - less },
        severe: { faulty: less === 0 ? 0 : 2, fine: 0 },
      })),
      proved: true,
    },
    ...parts,
  };
  saveStudy(db, latestPlan(db)!.id, 'measuring', { state: 'whole', found: [study] });
}

describe('without figures', () => {
  test('a ledger without a plan is told to plan first', async () => {
    const { get } = await startApp();
    const answer = await get(page);
    expect([answer.status, textOf(answer)]).toEqual([200, expect.stringContaining('There is no plan yet')]);
  });

  test('a plan that was not studied has the study begun here, by one button', async () => {
    const { get, post } = await plannedLedger();
    const shown = await get(page);
    const pressOf = (answer: typeof shown) => answer.document.querySelector('main form')?.getAttribute('action');
    expect([pressOf(shown), textOf(shown)]).toEqual([
      paths.measuring.study,
      expect.stringContaining('Work it out now'),
    ]);
    expect((await post(paths.measuring.study, {})).headers.location).toBe(page);
    expect(textOf(await get(page))).toContain('is being worked out now');
    // Nothing has to wait for the sums: what is unknown stands there with the way to enter it.
    expect(textsOf(shown, 'h2')).toContain('What is not known, what life may depend on first');
    expect([...shown.document.querySelectorAll('.measure-first a')].length).toBeGreaterThan(2);
  });
});

test('a plan that the ledger has left behind is made anew before anything is worked out of it', async () => {
  const { get, db } = await plannedLedger();
  wantHide(db, 'Another cave', 'cool', 1500);
  const shown = await get(page);
  expect(shown.document.querySelector('main form')?.getAttribute('action')).toBe(paths.roadmap.plan);
});

describe('worth of a reading', () => {
  test('tells the chances at which measuring pays, and at the chance of the keeper what it gains or loses', async () => {
    const app = await plannedLedger();
    keepStudy(app);
    const bare = textOf(await app.get(page));
    expect(bare).toContain('In order31 °C');
    expect(bare).toContain('At fault25 °C');
    // Worked by hand: the plans cross at p = 0.4, where knowing gains 24; the meter takes 20 of it, so it pays from 1/3 to 1/2.
    expect(bare).toContain('It pays whatever the chance of a fault; at most it gains 24 weighted points × months.');
    expect(bare).toContain('lies between 33 % and 50 %; at most it gains 4.0 weighted points × months');
    expect(bare).toContain('leave a severe shortfall standing longer: by 2 needs × months');
    const asked = textOf(await app.get(`${page}?${field}=20`));
    expect(asked).toContain('At 20 % it gains 12 weighted points × months.');
    expect(asked).toContain('At 20 % it loses 8.0 weighted points × months: its price delays what matters more.');
  });

  test.each(['101', '-3', 'often', '1e1'])(
    'a chance of %s is a mistake at its field, and what was typed stays',
    async (typed) => {
      const app = await plannedLedger();
      keepStudy(app);
      const answer = await app.get(`${page}?${field}=${encodeURIComponent(typed)}`);
      expect(answer.status).toBe(422);
      expect(textsOf(answer, '.error-summary a')).toEqual(['Write the chance of a fault as a number from 0 to 100.']);
      const input = answer.document.querySelector(`input[name="${field}"]`);
      expect([input?.getAttribute('value'), input?.getAttribute('aria-invalid')]).toEqual([typed, 'true']);
    },
  );

  test('a reading that changes nothing says so and asks for no chance', async () => {
    const app = await plannedLedger();
    const blind = [{ buys: [], faulty: 40, fine: 40 }];
    keepStudy(app, { worth: { blind, informed: [], proved: true } });
    const answer = await app.get(page);
    expect(textOf(answer)).toContain('The same purchases are best whatever it reads.');
    expect(answer.document.querySelector(`input[name="${field}"]`)).toBeNull();
  });

  test('an older plan says that the ledger was changed since', async () => {
    const app = await plannedLedger();
    keepStudy(app);
    expect(textOf(await app.get(page))).not.toContain('The ledger was changed after this plan was made');
    await app.post(paths.measuring.wantMeter, { kind: 'warm-hide-floor' });
    expect(textOf(await app.get(page))).toContain('The ledger was changed after this plan was made');
  });
});

test('the meter is put into the plan of this month once, however often it is asked for', async () => {
  const app = await plannedLedger();
  for (const kind of ['uvi-basking', 'uvi-basking', 'uvi-lowest']) {
    expect((await app.post(paths.measuring.wantMeter, { kind })).status).toBe(303);
  }
  const meters = listUpgrades(app.db).filter((one) => one.proposalKey === 'meter:uv-meter');
  expect(meters).toMatchObject([{ pinnedMonth: '2026-01', changes: [], status: 'wanted' }]);
  expect(meters[0]!.priceHigh).toBeGreaterThan(meters[0]!.priceLow);
  expect((await app.post(paths.measuring.wantMeter, { kind: 'water-depth' })).status).toBe(404);
});

test('the study is made with the others and looks into what the plan hangs on', async () => {
  const app = await startApp();
  keepGecko(app.db);
  keepMoney(app.db, 2000, 3000);
  wantHide(app.db, 'Warm cave', 'warm', 2500);
  await planNow(app.db, library, today, 300, { study: true });
  const study = studiesOf(app.db, '1').measuring!;
  expect(study.state).toBe('whole');
  expect(study.found.length).toBeGreaterThan(0);
  expect(study.found.every(({ prices }) => prices[0] === 0)).toBe(true);
});

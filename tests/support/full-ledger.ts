// A ledger that has something of every kind, and every form that its pages show, for tests that send what no form should carry.

import { readCatalogue } from '../../seed/catalogue.ts';
import {
  listAnimals,
  listEnclosures,
  listFittings,
  listReadings,
  removeAnimal,
  removeEnclosure,
  removeFitting,
  removeReading,
} from '../../server/db/collection.ts';
import { addOneOffSum, removeOneOffSum } from '../../server/db/money.ts';
import { type Db, openMemory } from '../../server/db/open.ts';
import { removeOutlet, removeRoom } from '../../server/db/rooms.ts';
import { buyUpgrade, findUpgrade, refuseUpgrade, removeUpgrade } from '../../server/db/upgrades.ts';
import { paths } from '../../server/paths.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { money } from '../../src/money.ts';
import { patternOf } from './addresses.ts';
import { formValues, openApp, type TestApp, textOf } from './app.ts';
import { enclosureTexts, enter, readingTexts } from './collection.ts';
import type { Found } from './crawl.ts';
import { keepSmallLedger, wantHide } from './ledger.ts';
import { library } from './make.ts';

const today = plainDate('2026-01-15');

/** An application over a full ledger in memory, whose log goes to `write` and whose plans are made in no time. */
export async function openFullLedger(write: (line: string) => void): Promise<TestApp> {
  const parts = readCatalogue();
  const app = await openApp({ db: openMemory(), library, parts, planningMilliseconds: 20, log: { write } });
  await fillLedger(app);
  return app;
}

/** A form of a page, with the values it would send as it stands. */
export type Form = {
  /** The address of the page that shows it, and its own, with numbers written as :n. */
  page: string;
  action: string;
  pattern: string;
  values: Record<string, string>;
  /** Fields a person can type in or choose from; the rest are hidden. */
  shown: string[];
  /** Those among them that keep any text. */
  typed: string[];
};

/** Fills a ledger with something of every kind in every state that has a page of its own. */
export async function fillLedger(app: TestApp): Promise<void> {
  const { db } = app;
  keepSmallLedger(db);
  const fitting = { fittedOn: '2025-07-01', whenBoxReplaced: 'moves' };
  for (const kind of ['heat-mat', 'hide', 'uv-tube']) {
    const name = { name: `A ${kind}`, ...(kind === 'uv-tube' ? { mesh: '1' } : {}) };
    await enter(app, paths.enclosures.fittings.newOf(1, kind), { ...fitting, ...name });
  }
  await enter(app, paths.enclosures.readings.newOf(1, 'warm-hide-floor'), readingTexts);
  await enter(app, paths.enclosures.readings.newOf(1, 'cool-end-air'), { ...readingTexts, value: '22' });
  const room = { coldest: '15', coldestMonth: '1' };
  const socket = { room: '1', rule: 'uk', volts: '230', circuitAmps: '13' };
  for (const name of ['Study', 'Cellar']) await enter(app, paths.rooms.new, { ...room, name });
  for (const name of ['Left', 'Right']) await enter(app, paths.rooms.sockets.newOf('uk'), { ...socket, name });
  removeRoom(db, 2, 1, today);
  removeOutlet(db, 2, 1, today);
  await enter(app, paths.enclosures.new, { ...enclosureTexts, name: 'Empty box' });
  await enter(app, paths.animals.new, { name: 'Gone', species: 'corn-snake', enclosure: '2', sex: 'unknown' });
  const sum = { month: plainMonth('2026-03'), amount: money(-2000), note: 'Vet', canWait: true };
  addOneOffSum(db, sum);
  addOneOffSum(db, sum);
  for (const name of ['Ordered', 'Refused', 'Removed', 'Fitted']) wantHide(db, name, 'warm', 1500);
  const row = (id: number) => findUpgrade(db, id)!.version;
  buyUpgrade(db, 4, row(4), { boughtOn: today, paid: money(1500), arrivesMonth: null });
  refuseUpgrade(db, 5, row(5));
  removeUpgrade(db, 6, row(6), today);
  await app.submit(await app.get(paths.upgrades.fitted(7)));
  removeFitting(db, 3, listFittings(db, 1).find((one) => one.id === '3')!.version, today);
  removeReading(db, 2, listReadings(db, 1).find((one) => one.id === '2')!.version, today);
  removeAnimal(db, 2, listAnimals(db).find((one) => one.id === '2')!.version, today);
  removeEnclosure(db, 2, listEnclosures(db).find((one) => one.id === '2')!.version, today);
  removeOneOffSum(db, 2, 1, today);
}

/** Keeps a copy of every row; what is returned puts it back, so that every form is tried on the same ledger. */
export function keepCopy(db: Db): () => void {
  const sqlite = db.$client;
  const tables = sqlite
    .prepare<[], { name: string }>("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    .all()
    .map((one) => one.name);
  sqlite.exec("ATTACH ':memory:' AS kept");
  for (const name of tables) sqlite.exec(`CREATE TABLE kept.${name} AS SELECT * FROM main.${name}`);
  return () => {
    sqlite.pragma('foreign_keys = OFF');
    for (const name of tables)
      sqlite.exec(`DELETE FROM main.${name}; INSERT INTO main.${name} SELECT * FROM kept.${name}`);
    sqlite.pragma('foreign_keys = ON');
  };
}

/** For crawl: rows of upgrades look different by what has become of them, so each is opened. */
export const sameForms = (address: string) => (/^\/upgrades\/\d+/.test(address) ? address : patternOf(address));

/** Every form by which something is sent, one of each pattern. */
export function formsOf(pages: readonly Found[]): Form[] {
  const forms = new Map<string, Form>();
  for (const { page } of pages) {
    for (const form of page.document.querySelectorAll('main form')) {
      if (form.getAttribute('method') !== 'post') continue;
      const action = (form.getAttribute('action') ?? '').replace(/#.*/, '');
      const values = formValues(form);
      const pattern = `${patternOf(action)}${'proposal' in values ? ' of a proposal' : ''}`;
      if (forms.has(pattern)) continue;
      const controls = [...form.querySelectorAll('input, textarea, select')].filter(
        (one) => !['hidden', 'submit'].includes(one.getAttribute('type') ?? ''),
      );
      const name = (one: (typeof controls)[number]) => one.getAttribute('name') ?? '';
      forms.set(pattern, {
        page: textOf(page.document.querySelector('title')),
        action,
        pattern,
        values,
        shown: [...new Set(controls.map(name))],
        typed: controls
          .filter(
            (one) =>
              one.localName === 'textarea' || ['text', 'date', 'search'].includes(one.getAttribute('type') ?? ''),
          )
          .map(name),
      });
    }
  }
  return [...forms.values()];
}

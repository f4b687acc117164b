// An animal whose species the library does not hold any more: no page and no plan breaks for it, and its own page says what to do.

import { expect, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { loadCollection } from '../../server/db/collection.ts';
import { openMemory } from '../../server/db/open.ts';
import { findPlan } from '../../server/db/plans.ts';
import { paths } from '../../server/paths.ts';
import { gatherFacts, planNow } from '../../server/planning.ts';
import { plainDate } from '../../src/calendar.ts';
import { UnknownSpecies } from '../../src/species.ts';
import { patternOf } from '../support/addresses.ts';
import { startApp, testMoment, textOf } from '../support/app.ts';
import { crawl } from '../support/crawl.ts';
import { library } from '../support/make.ts';

const today = plainDate('2026-01-15');
const said = /figures of this species are no longer part of the ledger/;

test('When a species leaves the library, its animals are kept unscored, and every page and the plan go on without them', async () => {
  const db = openMemory();
  fillDemo(db, () => testMoment);
  await planNow(db, library, today, 300);
  const { animals } = loadCollection(db);
  const [gone, other] = [animals[0]!, animals.find(({ speciesId }) => speciesId !== animals[0]!.speciesId)!];
  const ofIt = animals.filter(({ speciesId }) => speciesId === gone.speciesId);
  const smaller = { ...library, species: library.species.filter(({ id }) => id !== gone.speciesId) };
  // The start itself compares what shipped before with what ships now.
  const app = await startApp({ db, library: smaller, planningMilliseconds: 50 });

  const oneOfEach = (address: string) => patternOf(address).replace(/\?.*|(?<=\/species\/)[^/]*$/, '');
  const found = await crawl(app, oneOfEach);
  expect(found.length).toBeGreaterThan(60);
  const inItsBox = found.flatMap(({ address }) => {
    const rest = /^\/enclosures\/\d+((?:\/[a-z-]+)*)$/.exec(address)?.[1];
    return rest === undefined ? [] : [`/enclosures/${gone.enclosureId}${rest}`];
  });
  expect(inItsBox.length).toBeGreaterThan(5);
  for (const address of inItsBox) expect((await app.get(address)).status, address).toBe(200);

  const page = await app.get(paths.animals.show(gone.id));
  expect(textOf(page)).toMatch(said);
  expect(textOf(page)).toContain('Scoreunknown');
  expect(textOf(page)).not.toMatch(/\d+ of 100/);
  expect(textOf(await app.get(paths.home))).toContain(`${gone.name}: the figures of its species`);
  expect(textOf(await app.get(paths.enclosures.show(gone.enclosureId!)))).toContain(`${gone.name} lives here too`);
  const list = textOf(await app.get(paths.animals.list));
  for (const { name } of ofIt) expect(list).toContain(`${name}: the figures of its species`);
  expect(textOf(await app.get(paths.animals.show(other.id)))).toMatch(/\d+ of 100/);
  for (const address of [paths.animals.vetSheet(gone.id), paths.animals.space(gone.id)]) {
    const sheet = await app.get(address);
    expect(sheet.status, address).toBe(409);
    expect(textOf(sheet)).toContain('Choose another species on the page of the animal');
  }
  expect(loadCollection(db).animals).toEqual(animals);

  expect(gatherFacts(db, smaller, today).collection.animals.map(({ id }) => id)).not.toContain(gone.id);
  const outcome = await planNow(db, smaller, today, 300);
  if (outcome.status !== 'saved') throw new Error(outcome.failure);
  const drawn = findPlan(db, Number(outcome.planId))!.roadmap!.animals.map(({ animalId }) => animalId);
  expect(drawn).not.toContain(gone.id);
  expect(drawn).toContain(other.id);

  // The form offers what there is, keeps the rest, and ends it.
  const form = await app.get(paths.animals.edit(gone.id));
  expect((await app.submit(form)).status).toBe(422);
  expect(
    (await app.submit(form, { species: other.speciesId, coolingFrom: '', coolingTo: '', restFrom: '', restTo: '' }))
      .status,
  ).toBe(303);
  expect(textOf(await app.get(paths.animals.show(gone.id)))).not.toMatch(said);
}, 120_000);

test('A library without a species says so where it is asked for one animal alone', async () => {
  const app = await startApp({
    morePages: [(server) => void server.get('/asks', () => Promise.reject(new UnknownSpecies('vanished')))],
  });
  const page = await app.get('/asks');
  expect(page.status).toBe(409);
  expect(textOf(page)).toContain('no longer part of the ledger');
  expect(page.body).not.toContain('vanished');
});

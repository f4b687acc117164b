// The choice of rule lists from the page of a species and from that of an animal's room, and that scores follow it.

import { expect, test } from 'vitest';
import { readLedger } from '../../../server/db/ledger.ts';
import { paths } from '../../../server/paths.ts';
import { type Answer, startApp, type TestApp, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enterSnake } from '../../support/collection.ts';

const wordsOf = (page: Answer) => textOf(page.document.querySelector('#rule-lists'));
const without = (...kept: string[]) =>
  Object.fromEntries(
    ['DE-1997', 'DE-pages', 'AT', 'CH', 'SE', 'EU-laboratory', 'practice'].map((one) => [
      `rule-${one}`,
      kept.includes(one) ? 'yes' : null,
    ]),
  );

async function spaceScore({ get }: TestApp): Promise<number> {
  const page = await get(paths.animals.show(1));
  const need = [...page.document.querySelectorAll('.need')].find(
    (one) => textOf(one.querySelector('.need-name')) === 'Space',
  );
  return Number(/: (\d+) of 100/.exec(textOf(need!))![1]);
}

test('other lists chosen on the page of a species lead back to it, change which rule is the strictest, and move the score', async () => {
  const app = await startApp();
  // A corn snake of 130 cm in a box of 140 x 60 x 50 cm: as long as the evidence asks, and short of the German report's height and floor.
  await enterSnake(app, { enclosure: { length: '140 cm', depth: '60', height: '50' } });
  const page = await app.get('/species/corn-snake');
  expect(wordsOf(page)).toContain(
    'is judged by: Evidence on the species or its relatives, German expert report of 1997',
  );
  expect(wordsOf(page)).toContain('The strictest of these for one adult of 140 cm is “German expert report 1997');
  expect(wordsOf(page)).toContain('Swedish regulation: at least 0.63 m² of floor and 45 cm of height');
  const before = await spaceScore(app);
  const saved = await app.submit(page, without('SE'), paths.spaceRules);
  expect([saved.status, saved.location]).toEqual([303, '/species/corn-snake?done=choices-saved']);
  expect(readLedger(app.db).ruleSets).toEqual(['SE']);
  const after = await app.get('/species/corn-snake');
  expect(wordsOf(after)).toContain('is judged by: Evidence on the species or its relatives and Swedish regulation.');
  expect(wordsOf(after)).toContain('No single rule is the strictest in everything');
  expect(wordsOf(after)).toContain('German expert report of 1997: at least 140 cm of length, 0.98 m² of floor');
  const now = await spaceScore(app);
  expect(now).toBeGreaterThan(before);
});

test('the page of an animal’s room names the rule that decides in its box and leads back to itself', async () => {
  const app = await appWithSnake({ enclosure: { length: '140 cm', depth: '60', height: '140' } });
  // The pet advice asks for 130 x 70 cm of floor, the report of 1997 for 130 x 65 cm.
  const page = await app.get(paths.animals.space(1));
  expect(wordsOf(page)).toContain('For Maize “German federal pet advice');
  const saved = await app.submit(page, without('CH'), paths.spaceRules);
  expect(saved.location).toBe(`${paths.animals.space(1)}?done=choices-saved`);
  const after = await app.get(paths.animals.space(1));
  expect(wordsOf(after)).toContain('Only “A snake can lie at full stretch along the longest side” gives figures');
  expect(wordsOf(after)).toContain('It decides for Maize.');
});

test('a form that is older than the settings changes nothing, and one from elsewhere leads to no other place', async () => {
  const app = await startApp();
  const page = await app.get('/species/axolotl');
  expect((await app.submit(page, without('AT'), paths.spaceRules)).status).toBe(303);
  expect((await app.submit(page, without('CH'), paths.spaceRules)).status).toBe(409);
  expect(readLedger(app.db).ruleSets).toEqual(['AT']);
  const version = String(readLedger(app.db).version);
  expect((await app.post(paths.spaceRules, { version, species: '//elsewhere.example' })).location).toBe(
    '/settings?done=choices-saved',
  );
  expect((await app.post(paths.spaceRules, { version, 'rule-own': 'yes' })).status).toBe(422);
  expect((await app.post(paths.spaceRules, {})).status).toBe(422);
});

test('where no chosen list speaks of a species, common practice stands in and the page says so', async () => {
  const app = await startApp();
  await app.submit(await app.get('/species/axolotl'), without(), paths.spaceRules);
  const words = wordsOf(await app.get('/species/axolotl'));
  expect(words).toContain('common practice stands in');
  expect(words).toContain('Only “What careful keepers commonly offer an adult” gives figures');
  expect(textsOf(await app.get('/species/axolotl'), '#rule-lists li')[0]).toMatch(
    /^Austrian ordinance: at least 0.9 m²/,
  );
});

import { expect, test } from 'vitest';
import { listEnclosures } from '../../../server/db/collection.ts';
import { listUpgrades } from '../../../server/db/upgrades.ts';
import { paths, withNotice } from '../../../server/paths.ts';
import { openApp, startApp, textOf } from '../../support/app.ts';
import { enclosureTexts } from '../../support/collection.ts';

test('A form for something new that is sent twice enters it once and says so', async () => {
  const app = await startApp();
  const form = await app.get(paths.enclosures.new);
  expect((await app.submit(form, enclosureTexts)).location).toBe(withNotice('/enclosures/1', 'added'));
  const again = await app.submit(form, enclosureTexts);
  expect(again.location).toBe(withNotice('/enclosures/1', 'sent-twice'));
  expect(listEnclosures(app.db).length).toBe(1);
  expect(textOf(await app.get(again.location!))).toContain('reached the ledger twice and had its effect once');
});

test('A form sent again after the program was started again has no second effect, new or changed', async () => {
  const before = await openApp();
  const { db } = before;
  const form = await before.get(paths.enclosures.new);
  await before.submit(form, enclosureTexts);
  const edit = await before.get(paths.enclosures.edit(1));
  expect((await before.submit(edit, { name: 'Renamed' })).location).toBe(withNotice('/enclosures/1', 'saved'));
  await before.app.close();
  const after = await startApp({ db });
  expect((await after.submit(form, enclosureTexts)).location).toBe(withNotice('/enclosures/1', 'sent-twice'));
  expect((await after.submit(edit, { name: 'Renamed' })).location).toBe(withNotice('/enclosures/1', 'sent-twice'));
  expect(listEnclosures(db).map(({ name, version }) => ({ name, version }))).toEqual([{ name: 'Renamed', version: 2 }]);
});

test('A form gone back to and changed, and a new form with the same words, enter another one', async () => {
  const app = await startApp();
  const form = await app.get(paths.enclosures.new);
  await app.submit(form, enclosureTexts);
  expect((await app.submit(form, { ...enclosureTexts, name: 'Low shelf' })).location).toContain('/enclosures/2');
  expect((await app.submit(await app.get(paths.enclosures.new), enclosureTexts)).location).toContain('/enclosures/3');
});

test('A form with mistakes that is put right is entered, and the upgrade form knows a second sending too', async () => {
  const app = await startApp();
  const wrong = await app.submit(await app.get(paths.upgrades.new), { name: '', priceLow: '5' });
  expect(wrong.status).toBe(422);
  const right = { name: 'Branch', priceLow: '5', step: 'save' };
  expect((await app.submit(wrong, right)).location).toBe(withNotice('/upgrades/1', 'added'));
  expect((await app.submit(wrong, right)).location).toBe(withNotice('/upgrades/1', 'sent-twice'));
  expect(listUpgrades(app.db).length).toBe(1);
});

// Two species side by side, as a browser sees them.

import { expect, test } from 'vitest';
import { type Answer, startApp, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake } from '../../support/collection.ts';

/** The terms and words under a heading of the page. */
function under(page: Answer, section: string, heading: string): [string, string][] {
  const place = textsOf(page, `#${section} h3`).indexOf(heading);
  const list = [...page.document.querySelectorAll(`#${section} dl`)][place];
  return [...(list?.querySelectorAll('div') ?? [])].map((one) => [
    textOf(one.querySelector('dt')),
    textOf(one.querySelector('dd')),
  ]);
}

test('targets of both stand beside each other with what they share, and each with its source', async () => {
  const { get } = await startApp();
  const page = await get('/species/compare?a=veiled-chameleon&b=hermanns-tortoise');
  expect(page.status).toBe(200);
  // Austria, 2nd animal keeping ordinance, chameleons: air of 20 to 30 °C; no figure for the tortoise.
  const [chameleon, shared] = [under(page, 'temperature', 'Warm air')[0]!, under(page, 'temperature', 'Warm air')[2]!];
  expect(chameleon[1]).toContain('20 to 30 °C. Source:');
  expect(shared).toEqual(['What they share', 'Only one has a target for this: Veiled chameleon.']);
  expect(under(page, 'temperature', 'Hot-spot surface')[2]![1]).toBe('Both take 33 to 34 °C.');
  expect(under(page, 'humidity', 'By day')[2]![1]).toBe('Both take 40 to 60 %.');
  // Both are put in zone 3, whose mean exposure is 1.0 to 2.6 (Baines et al. 2016).
  expect(under(page, 'uv', 'Mean exposure')[2]![1]).toBe('Both take 1 to 2.6.');
  // German expert report of 1997: 4 x 2.5 x 4 lengths of 22 cm against 8 x 4 carapace lengths of 20 cm: 0.484 against 1.28 m².
  const room = under(page, 'space', 'By all rules that count');
  expect(room[0]![1]).toBe('At least 88 cm of length, 0.48 m² of floor and 88 cm of height.');
  expect(room[2]![1]).toContain('Floor: Hermann’s tortoise needs 2.6 times as much.');
  expect(room[2]![1]).toContain('Height: asked for Veiled chameleon only, 88 cm.');
});

test('the page says that two species in one box are a critical fault, whatever they share', async () => {
  const { get } = await startApp();
  for (const address of ['/species/compare', '/species/compare?a=corn-snake&b=milk-snake'])
    expect(textOf((await get(address)).document.querySelector('.caution')), address).toContain(
      'Two species in one box count as a critical fault of safety here, however much their targets have in common.',
    );
});

test('ranges that lie apart are told with their distance and with whose life that threatens', async () => {
  const { get } = await startApp();
  const page = await get('/species/compare?a=jacksons-chameleon&b=uromastyx');
  const words = under(page, 'temperature', 'Hot-spot surface')[2]![1];
  expect(words).toMatch(/^Nothing in common: Jackson’s chameleon ends [\d.]+ °C below where \S.* begins\./);
  expect(words).toContain('threatens the life of Jackson’s chameleon.');
});

test('without two species it asks for them, keeps what was chosen and offers those that are kept', async () => {
  const app = await appWithSnake();
  expect(textOf(await app.get('/species/compare'))).toContain('Choose two species.');
  const one = await app.get('/species/compare?a=axolotl&b=unicorn');
  expect(one.document.querySelector('select[name=a] option[selected]')?.getAttribute('value')).toBe('axolotl');
  expect(textOf(one)).toContain('Choose two species.');
  const link = one.document.querySelector('.reason-list a');
  expect(textOf(link)).toBe('Axolotl beside Corn snake');
  expect(under(await app.get(link!.getAttribute('href')!), 'temperature', 'Water')[0]![0]).toBe('Axolotl');
  expect(textOf(await app.get('/species/compare?a=axolotl&b=axolotl'))).toContain('the same species twice');
  expect(textsOf(await app.get('/species/axolotl'), 'a[href="/species/compare?a=axolotl"]')).toEqual([
    'Compare with another',
  ]);
});

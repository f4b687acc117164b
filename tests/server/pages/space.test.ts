// The page on room for an animal as a browser sees it.

import { expect, test } from 'vitest';
import { changeLedger, firstLedger } from '../../../server/db/ledger.ts';
import { paths } from '../../../server/paths.ts';
import { type Answer, textOf } from '../../support/app.ts';
import { animalTexts, appWithSnake, enter } from '../../support/collection.ts';

/** Each rule's card: its words, and what it asks for by the days it is asked on. */
const cardsOf = (page: Answer) =>
  [...page.document.querySelectorAll('.rule')].map((card) => ({
    text: textOf(card),
    sizes: [...card.querySelectorAll('dl > div')].map((one) => [
      textOf(one.querySelector('dt')),
      textOf(one.querySelector('dd')),
    ]),
  }));

test('the rules stand side by side with the size that meets each, today, at the horizon and grown', async () => {
  const app = await appWithSnake();
  const page = await app.get(paths.animals.space(1));
  expect(page.status).toBe(200);
  const cards = cardsOf(page);
  expect(cards.map((one) => one.text).join(' ')).toMatch(/Counts in the score.*[Ss]trictest.*[Ll]oosest/);
  expect(cards.every((one) => one.text.includes('Source: '))).toBe(true);
  // A snake can lie stretched out: a box as long as the snake (the evidence rule of the library), so 90 cm are too short for 130 cm.
  const [day, asked] = cards[0]!.sizes[0]!;
  expect(day).toMatch(/^Today/);
  expect(asked).toContain('At least 130 cm of length');
  expect(asked).toContain('Smallest box: 130 cm long');
  expect(asked).toContain('The present box has 69 % of the length');
  // What is asked on two days alike is said once.
  for (const { sizes } of cards) expect(new Set(sizes.map((one) => one[1])).size).toBe(sizes.length);
  const text = textOf(page);
  expect(text).toContain('Shelves and ledges are not counted as floor');
  expect(text).toContain('Made to measure: ');
  expect(text).toContain('You did not say how much space you have');
  expect(textOf(await app.get(paths.animals.show(1)))).toContain('Room: what the rules ask for, and what fits');
});

test('a space that is too small says by how much', async () => {
  const app = await appWithSnake();
  app.db.$client
    .prepare("UPDATE enclosures SET build = json_set(build, '$.mostLengthMm', 1000, '$.mostDepthMm', 500)")
    .run();
  const text = textOf(await app.get(paths.animals.space(1)));
  expect(text).toContain('You have 100 cm of length and 50 cm of depth');
  // 100 by 50 cm outside less two walls of 2 cm are 96 by 46 cm inside, the rules
  // together ask for 130 by 70 cm: 0.4416 of 0.91 m².
  expect(text).toContain('The space falls short by 34 cm in length and 24 cm in depth');
  expect(text).toContain('gives 48 % of what is asked for');
});

test('inches stay inches, an animal without a box gets sizes and no verdict, and one that never was is not found', async () => {
  const app = await appWithSnake({ animal: { enclosure: 'nowhere' } });
  changeLedger(app.db, firstLedger.version, { unitSystem: 'imperial' });
  const page = await app.get(paths.animals.space(1));
  expect(textOf(page)).toContain('lives in no enclosure of this ledger');
  expect(textOf(page)).toContain('51.2 in of length');
  expect(textOf(page)).not.toContain('The present box');
  expect((await app.get(paths.animals.space(9))).status).toBe(404);
});

// A practitioner's rule, common practice without a source: a snake is never housed under an open top, a tortoise may be.
test('a box of the catalogue that cannot house the species is not offered, however roomy', async () => {
  const app = await appWithSnake({ animal: { species: 'boa', length: '170 cm' } });
  const snake = textOf(await app.get(paths.animals.space(1)));
  expect(snake).toContain('Made to measure: ');
  expect(snake).not.toContain('open top');
  await enter(app, '/animals/new', { ...animalTexts, name: 'Dot', species: 'hermanns-tortoise', length: '15 cm' });
  expect(textOf(await app.get(paths.animals.space(2)))).toMatch(/Of the catalogue: [^.]*open top/);
});

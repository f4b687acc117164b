// The figures of the guide's year are those of the program: the year is lived through on its pages, and what was read there is the file
// that the guide prints. `npm run guide` writes that file anew.

import { join } from 'node:path';
import { expect, test } from 'vitest';
import { liveTheYear } from '../../support/guide-year.ts';

const file = join(import.meta.dirname, '../../../server/pages/guide-figures.ts');

const head = `// Every figure of the invented year that the guide tells, as the program's own pages showed it; written by \`npm run guide\`, never by hand.

/** The figures by the names under which views/guide prints them. */
export const guideFigures = {
`;

test('Every figure of the year in the guide is what the program shows when that year is lived through on its pages', async () => {
  const figures = await liveTheYear();
  expect(Object.keys(figures).length).toBeGreaterThan(60);
  const lines = Object.entries(figures).map(([name, value]) => `  ${name}: '${value}',\n`);
  await expect(`${head}${lines.join('')}} as const;\n`).toMatchFileSnapshot(file);
}, 180_000);

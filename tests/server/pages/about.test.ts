import { expect, test } from 'vitest';
import { startApp, textOf, textsOf } from '../../support/app.ts';

test('The about page says that the score judges the enclosure and never the feelings of an animal', async () => {
  const { get } = await startApp();
  const page = await get('/about');
  expect(page.status).toBe(200);
  expect(page.document.title).toBe('About the score – Basking Ledger');
  expect(textsOf(page, 'h1')).toEqual(['About the score']);
  expect(textOf(page)).toContain('never how an animal feels');
  expect(textsOf(page, 'nav [aria-current="page"]')).toEqual(['About the score']);
});

import { expect, test } from 'vitest';
import { type Answer, findForm, formValues, mistakesOf, startApp, tableRows, textOf, textsOf } from '../support/app.ts';
import { perchPages } from '../support/perch-page.ts';

const control = (answer: Answer, name: string) => answer.document.querySelector(`[name="${name}"]`)!;

test('A form shows what is kept and sends it back unchanged', async () => {
  const { page, perch } = perchPages();
  const { get, submit } = await startApp({ morePages: [page] });
  const kept = { ...perch.values };
  const opened = await get('/perch');
  expect(formValues(findForm(opened))).toEqual({ ...kept, version: '1' });
  expect(textsOf(opened, '.caution li')).toEqual(['Fix it with screws.']);
  const sent = await submit(opened);
  expect(sent.status).toBe(303);
  expect(perch.values).toEqual({ ...kept, version: '1' });
  const after = await get(sent.location!);
  expect(textsOf(after, '[role="status"]')).toEqual(['Saved.']);
  expect(textsOf(await get('/perch?done=%3Cb%3E'), '[role="status"]')).toEqual(['']);
});

test('Every control has a label, and its hint is tied to it', async () => {
  const { page } = perchPages();
  const { get } = await startApp({ morePages: [page] });
  const opened = await get('/perch');
  const controls = [
    ...opened.document.querySelectorAll('main form input:not([type="hidden"]), main form select, main form textarea'),
  ];
  expect(controls).toHaveLength(8);
  for (const one of controls) expect(textsOf(opened, `label[for="${one.id}"]`)).toHaveLength(1);
  const describedBy = control(opened, 'name').getAttribute('aria-describedby')!;
  expect(textOf(opened.document.getElementById(describedBy))).toBe('What you call it.');
  expect(control(opened, 'name').hasAttribute('aria-invalid')).toBe(false);
});

test('A form with mistakes comes back with 422, everything typed, and each mistake beside and linked to its control', async () => {
  const { page, perch } = perchPages();
  const { get, submit } = await startApp({ morePages: [page] });
  const typed = {
    name: '',
    notes: 'kept & <safe>',
    side: null,
    kind: 'wood',
    count: 'two',
    day: '2026-02-31',
    fixed: 'maybe',
  };
  const answer = await submit(await get('/perch'), typed);
  expect(answer.status).toBe(422);
  expect(answer.document.title).toMatch(/^Not saved: /);
  expect(mistakesOf(answer).map((mistake) => mistake.field)).toEqual(['name', 'side', 'kind', 'count', 'day', 'fixed']);
  expect(textsOf(answer, '.error-summary h2')).toEqual(['6 answers need a change before this can be saved']);
  expect(formValues(findForm(answer))).toMatchObject({
    name: '',
    notes: 'kept & <safe>',
    count: 'two',
    day: '2026-02-31',
    version: '1',
  });
  expect(control(answer, 'day').getAttribute('type')).toBe('text');
  expect(control(answer, 'name').getAttribute('aria-invalid')).toBe('true');
  expect(control(answer, 'name').getAttribute('aria-describedby')).toBe('field-name-hint field-name-error');
  expect(perch.version).toBe(1);
});

test('A form opened before a change elsewhere comes back with 409, both versions, and can then be sent again', async () => {
  const { page, perch } = perchPages();
  const { get, submit } = await startApp({ morePages: [page] });
  const [mine, theirs] = [await get('/perch'), await get('/perch')];
  expect((await submit(theirs, { name: 'Slate ledge' })).status).toBe(303);
  const conflict = await submit(mine, { name: 'Branch', count: '5', fixed: null });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toEqual([
    ['Name', 'Slate ledge', 'Branch'],
    ['Count', '2', '5'],
    ['Fixed', 'yes', '–'],
  ]);
  expect(perch.values.name).toBe('Slate ledge');
  expect(formValues(findForm(conflict))).toMatchObject({ name: 'Branch', count: '5', version: '2' });
  expect((await submit(conflict)).status).toBe(303);
  expect(perch.values.name).toBe('Branch');
});

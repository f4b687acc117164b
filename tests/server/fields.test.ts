import { expect, test } from 'vitest';
import {
  checkboxField,
  conflictView,
  dayField,
  formPage,
  notesField,
  numberField,
  radioField,
  selectField,
  textField,
} from '../../server/fields.ts';
import {
  checkbox,
  choice,
  dateField,
  type FormState,
  formOf,
  optionalText,
  parseForm,
  requiredText,
  startForm,
  versionField,
  wholeNumber,
} from '../../server/forms.ts';
import type { Page } from '../../server/page.ts';
import { withNotice } from '../../server/paths.ts';
import { type Answer, findForm, formValues, mistakesOf, startApp, tableRows, textOf, textsOf } from '../support/app.ts';

const sides = [
  { value: 'left', label: 'Left', hint: 'As seen from the front.' },
  { value: 'right', label: 'Right' },
];

const perchForm = formOf({
  name: requiredText('the name'),
  notes: optionalText('the notes'),
  side: choice('the side', ['left', 'right']),
  kind: choice('the kind', ['cork', 'slate']),
  count: wholeNumber('the count', 1, 9),
  day: dateField('the day'),
  fixed: checkbox('whether it is fixed'),
  version: versionField(),
});

/** A row kept in memory, with a page to change it: a form of every kind of control. */
function perchPages(): { page: Page; perch: { version: number; values: Record<string, string> } } {
  const perch = {
    version: 1,
    values: {
      name: 'Cork',
      notes: '\nfirst line empty',
      side: 'left',
      kind: 'cork',
      count: '2',
      day: '2026-01-02',
      fixed: 'yes',
    } as Record<string, string>,
  };
  const view = (form: FormState, typed: Record<string, string> | null) =>
    formPage(form, {
      heading: 'Change a perch',
      action: '/perch',
      version: String(perch.version),
      conflict:
        typed === null
          ? null
          : conflictView('the perch', { name: 'Name', count: 'Count', fixed: 'Fixed' }, perch.values, typed, '/perch'),
      groups: [
        {
          legend: null,
          fields: [textField(form, 'name', 'Name', { hint: 'What you call it.' }), notesField(form, 'notes', 'Notes')],
        },
        {
          legend: 'Where it is',
          fields: [
            radioField(form, 'side', 'Side', sides),
            selectField(form, 'kind', 'Kind', [
              { value: '', label: 'Choose' },
              { value: 'cork', label: 'Cork' },
              { value: 'slate', label: 'Slate' },
            ]),
            numberField(form, 'count', 'Count', { suffix: 'pieces', inputMode: 'numeric' }),
            dayField(form, 'day', 'Since'),
            checkboxField(form, 'fixed', 'Fixed to the wall', { hint: 'So that it cannot fall.' }),
          ],
        },
      ],
      cautions: ['Fix it with screws.'],
      submit: 'Save',
      cancel: '/',
    });
  const frame = { title: 'Change a perch', current: null, back: { href: '/', label: 'Everything' } };
  const page: Page = (app, { render }) => {
    app.get('/perch', (_request, reply) => render(reply, 'form', view(startForm(perch.values), null), frame));
    app.post('/perch', (request, reply) => {
      const read = parseForm(perchForm, request.body);
      if (read.status === 'bad') return render(reply, 'form', view(read, null), { ...frame, status: 422 });
      if (read.value.version !== perch.version) {
        return render(reply, 'form', view(startForm(read.values), { ...read.values }), { ...frame, status: 409 });
      }
      perch.values = { ...read.values };
      perch.version += 1;
      return reply.redirect(withNotice('/perch', 'saved'), 303);
    });
  };
  return { page, perch };
}

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
    ['Name', 'Slate ledge', 'Branch', 'differs'],
    ['Count', '2', '5', 'differs'],
    ['Fixed', 'yes', '–', 'differs'],
  ]);
  expect(perch.values.name).toBe('Slate ledge');
  expect(formValues(findForm(conflict))).toMatchObject({ name: 'Branch', count: '5', version: '2' });
  expect((await submit(conflict)).status).toBe(303);
  expect(perch.values.name).toBe('Branch');
});

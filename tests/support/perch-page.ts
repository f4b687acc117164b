// A page of its own for tests of the shell: one row in memory, and a form with every kind of control to change it.

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
export function perchPages(): { page: Page; perch: { version: number; values: Record<string, string> } } {
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

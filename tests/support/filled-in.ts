// Fills in any form of the ledger so that it is taken, knowing nothing of its fields: what is refused is tried with another likely text, as
// a person would who reads the mistake.

import { type Answer, formValues, mistakesOf, type TestApp } from './app.ts';
import type { Form } from './full-ledger.ts';

/** What the fields of forms ask for, likeliest first. */
const likely = [
  '10',
  '',
  '2026-01-10',
  '2026-01',
  '1',
  '2026-03',
  'Plain words',
  'Genus species',
  '20',
  '0.2',
  '40',
  'https://x.example/',
];

/**
 * Sends a form with the texts given and whatever else it asks for; a text that is refused gives way to a likely one. Returns the last answer:
 * 303 when it was taken, 422 when nothing likely would do.
 */
export async function fillIn(app: TestApp, form: Form, texts: Readonly<Record<string, string>> = {}): Promise<Answer> {
  const values: Record<string, string> = { ...form.values, ...texts };
  const next = new Map<string, number>();
  for (let turn = 0; ; turn += 1) {
    const answer = await app.post(form.action, values);
    if (answer.status !== 422 || turn === 24) return answer;
    const back = [...answer.document.querySelectorAll('main form')].find(
      (one) => (one.getAttribute('action') ?? '').split('?')[0] === form.action.split('?')[0],
    );
    const fields = mistakesOf(answer)
      .map((one) => one.field)
      .filter((field) => field !== '');
    if (fields.length === 0 || back === undefined) return answer;
    for (const field of new Set(fields)) {
      const place = next.get(field) ?? 0;
      next.set(field, place + 1);
      const answers = [...back.querySelectorAll('option, input')]
        .filter((one) =>
          one.localName === 'option'
            ? [...back.querySelectorAll(`select[name="${field}"] option`)].includes(one)
            : one.getAttribute('name') === field && ['radio', 'checkbox'].includes(one.getAttribute('type') ?? ''),
        )
        .map((one) => one.getAttribute('value') ?? '')
        .filter((value) => value !== '');
      const choices = answers.length > 0 ? answers : likely;
      values[field] = choices[place % choices.length]!;
    }
    // A form that asks whether a value is sure, or carries another mark, says so in what comes back.
    for (const [name, value] of Object.entries(formValues(back))) if (!(name in values)) values[name] = value;
  }
}

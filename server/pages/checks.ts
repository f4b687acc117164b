// The page on which the questions about safety and upkeep are answered, all at once.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { dateOfInstant } from '../../src/calendar.ts';
import type { Answer, Check } from '../../src/collection.ts';
import { CHECKS } from '../../src/collection.ts';
import { cautions } from '../caution-words.ts';
import { type EnclosureRecord, findEnclosure, listAnswers, saveAnswers } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { type Conflict, conflictView, formPage, radioField } from '../fields.ts';
import { choice, type FormState, formOf, parseForm, startForm, type Values } from '../forms.ts';
import { answerWords, checkQuestions } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { idFrom, presentRow } from './asked-row.ts';

const answers = ['yes', 'no', 'unknown'] as const;

const labels = Object.fromEntries(CHECKS.map((check) => [check, checkQuestions[check].question]));

const schema = formOf(
  Object.fromEntries(CHECKS.map((check) => [check, choice(`“${labels[check]}”`, answers)])) as Record<
    Check,
    ReturnType<typeof choice<'yes' | 'no' | 'unknown'>>
  >,
);

export function checkPages(app: FastifyInstance, { db, now, render }: Deps): void {
  app.get(paths.enclosures.checks(':id'), (request, reply) => {
    const enclosure = enclosureOf(request);
    const given = textsOf(listAnswers(db, Number(enclosure.id)));
    return show(request, reply, enclosure, startForm(given), versionOf(given), 200, null);
  });

  app.post(paths.enclosures.checks(':id'), (request, reply) => {
    const enclosure = enclosureOf(request);
    const { version, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(schema, fields);
    if (read.status === 'bad') return show(request, reply, enclosure, read, String(version ?? ''), 422, null);
    const today = dateOfInstant(now(), readLedger(db).timeZone);
    const saved = inTransaction(db, (tx): Values | null => {
      const before = listAnswers(tx, Number(enclosure.id));
      const there = textsOf(before);
      if (versionOf(there) !== version) return there;
      saveAnswers(
        tx,
        CHECKS.filter((check) => there[check] !== read.value[check]).map((check) => ({
          enclosureId: enclosure.id,
          check,
          answer: read.value[check],
          answeredOn: today,
        })),
      );
      return null;
    });
    if (saved === null) return reply.redirect(withNotice(paths.enclosures.show(enclosure.id), 'saved'), 303);
    const words = (values: Values) =>
      Object.fromEntries(
        Object.entries(values).map(([name, value]) => [name, answerWords[value as Answer['answer']] ?? value]),
      );
    const conflict = conflictView(
      `a check of “${enclosure.name}”`,
      labels,
      words(saved),
      words(read.values),
      paths.enclosures.show(enclosure.id),
    );
    return show(request, reply, enclosure, startForm(read.values), versionOf(saved), 409, conflict);
  });

  function enclosureOf(request: FastifyRequest): EnclosureRecord {
    return presentRow(findEnclosure(db, idFrom(request.params)));
  }

  function show(
    request: FastifyRequest,
    reply: FastifyReply,
    enclosure: EnclosureRecord,
    form: FormState,
    version: string,
    status: number,
    conflict: Conflict | null,
  ): FastifyReply {
    const heading = `Checks of “${enclosure.name}”`;
    const model = formPage(form, {
      heading,
      lead: 'Only you can look. An honest “I do not know” counts as unknown, not as a fault.',
      action: request.url,
      version,
      conflict,
      cautions: [cautions.mainsAndWater, cautions.unknowable],
      groups: [
        {
          legend: null,
          fields: CHECKS.map((check) =>
            radioField(
              form,
              check,
              checkQuestions[check].question,
              answers.map((value) => ({ value, label: answerWords[value] })),
              { hint: checkQuestions[check].why },
            ),
          ),
        },
      ],
      submit: 'Save the answers',
      cancel: paths.enclosures.show(enclosure.id),
    });
    return render(reply, 'form', model, { title: heading, current: 'enclosures', status });
  }
}

/** The answers as the form's texts; a check that was never answered reads as unknown. */
function textsOf(given: readonly Answer[]): Values {
  return Object.fromEntries(
    CHECKS.map((check) => [check, given.find((one) => one.check === check)?.answer ?? 'unknown']),
  );
}

// Answers have no row version of their own; what they were when the page was opened tells as much.
function versionOf(values: Values): string {
  return CHECKS.map((check) => values[check]).join('-');
}

// The page of value choices: what no study can decide for the keeper, what each choice does, and the way back to the defaults.

import type { FastifyInstance } from 'fastify';
import { AppError } from '../../src/errors.ts';
import { NEEDS, type Need } from '../../src/species.ts';
import { choiceSentences } from '../choice-words.ts';
import { changeLedger, firstLedger, ledgerVersion, readLedger } from '../db/ledger.ts';
import { latestPlan } from '../db/plans.ts';
import { studiesOf } from '../db/studies.ts';
import type { ConfirmPage } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import { type FormError, formOf, wholeNumber } from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { lowerFirst } from '../words.ts';
import { versionOf } from './asked-row.ts';
import { registerLedgerForm } from './ledger-form.ts';
import { saveOnce } from './sent-twice.ts';
import {
  CHOICES,
  CHOSEN,
  type Choices,
  changedFields,
  choiceTexts,
  type PresentPlan,
  valueChoicesPage,
} from './value-choices.view.ts';

// The frame of every page here; these choices belong to what the score means.
const frame = { title: choiceSentences.heading, current: 'about' as const };

export function valueChoicePages(app: FastifyInstance, deps: Deps): void {
  const { db, planning, render } = deps;

  registerLedgerForm<Choices>(app, deps, {
    url: paths.valueChoices.show,
    back: paths.valueChoices.show,
    template: 'value-choices',
    current: frame.current,
    notice: 'choices-saved',
    called: 'the list of value choices',
    schema: choicesSchema,
    mistakes: (_ledger, { priority }): FormError[] => {
      const names = CHOSEN.priority.map((one) => one.field);
      // Of what could not be read it is not known whether the next is more.
      const read: readonly (number | null)[] = priority;
      const rising = [1, 2].find((place) => {
        const [before, here] = [read[place - 1]!, read[place]!];
        return before !== null && here !== null && here > before;
      });
      return rising === undefined ? [] : [{ field: names[rising]!, message: choiceSentences.neverRising }];
    },
    texts: choiceTexts,
    labels: Object.fromEntries(CHOICES.flatMap((choice) => CHOSEN[choice].map((one) => [one.field, one.name]))),
    form: (ledger, form) => valueChoicesPage(ledger, form, presentPlan()),
    changes: (value) => value,
  });

  for (const [url, all] of [
    [paths.valueChoices.allDefault, true],
    [paths.valueChoices.oneDefault(':choice'), false],
  ] as const) {
    const asked = (params: unknown) => {
      const { choice } = params as { choice?: string };
      const one = CHOICES.find((known) => known === choice);
      if (!all && one === undefined) throw new AppError('not_found', formSentences.neverThere);
      return one === undefined ? CHOICES : [one];
    };

    app.get(url, (request, reply) => {
      const choices = asked(request.params);
      const ledger = readLedger(db);
      const changed = choices.flatMap((choice) => changedFields(choice, ledger));
      if (changed.length === 0) return reply.redirect(paths.valueChoices.show, 303);
      const page: ConfirmPage = {
        heading: all ? choiceSentences.askAll : choiceSentences.askOne(choiceSentences.names[choices[0]!]),
        lead: null,
        consequences: changed.map(({ name, value, usual }) => choiceSentences.becomes(name, value, usual)),
        action: request.url,
        version: String(ledger.version),
        submit: all ? choiceSentences.toDefault : choiceSentences.toDefaultOf,
        cancel: paths.valueChoices.show,
      };
      return render(reply, 'confirm', page, { ...frame, title: page.heading });
    });

    app.post(url, (request, reply) => {
      const choices = asked(request.params);
      const version = versionOf(request);
      const usual = Object.assign({}, ...choices.map((choice) => usualOf[choice])) as Partial<Choices>;
      const shownAt = () => paths.valueChoices.show;
      if (saveOnce(db, request, shownAt, (tx) => changeLedger(tx, version, usual)) === 'conflict')
        throw new AppError('conflict', formSentences.changedMeanwhile);
      return reply.redirect(withNotice(paths.valueChoices.show, 'choices-saved'), 303);
    });
  }

  function presentPlan(): PresentPlan | null {
    const plan = latestPlan(db);
    if (plan === null || plan.roadmap === null) return null;
    const studied = { plan, studies: studiesOf(db, plan.id), studying: planning.studying() };
    return { studied, isStale: plan.ledgerVersion !== ledgerVersion(db) };
  }
}

const { needWeights, allowances, priority, horizonMonths, creditMonths, changeThreshold } = firstLedger;
const usualOf = {
  weights: { needWeights },
  allowances: { allowances },
  priority: { priority },
  horizon: { horizonMonths },
  credit: { creditMonths },
  threshold: { changeThreshold },
};

function choicesSchema() {
  const fields = CHOICES.flatMap((choice) => CHOSEN[choice]);
  const shape = Object.fromEntries(
    fields.map(({ field, name, least, most }) => [field, wholeNumber(`the ${lowerFirst(name)}`, least, most)]),
  );
  return formOf(shape).transform((typed): Choices => {
    const read = typed as Record<string, number>;
    const [weights, above] = (['weights', 'allowances'] as const).map(
      (choice) =>
        Object.fromEntries(NEEDS.map((need, place) => [need, read[CHOSEN[choice][place]!.field]!])) as Record<
          Need,
          number
        >,
    );
    const [low, middle, high] = CHOSEN.priority.map((one) => read[one.field]!);
    return {
      needWeights: weights!,
      allowances: above!,
      priority: [low!, middle!, high!],
      horizonMonths: read[CHOSEN.horizon[0]!.field]!,
      creditMonths: read[CHOSEN.credit[0]!.field]!,
      changeThreshold: read[CHOSEN.threshold[0]!.field]!,
    };
  });
}

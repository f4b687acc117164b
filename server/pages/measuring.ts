// The page about measuring first, and the step that puts a meter on the list to be bought.

import type { FastifyInstance, FastifyRequest } from 'fastify';
import { dateOfInstant, monthOf } from '../../src/calendar.ts';
import { READING_KINDS } from '../../src/collection.ts';
import { noMoney } from '../../src/money.ts';
import { meterFor, meterPricesIn } from '../../src/unsettled.ts';
import { loadCollection } from '../db/collection.ts';
import { ledgerVersion, readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { latestPlan } from '../db/plans.ts';
import { studiesOf } from '../db/studies.ts';
import { addUpgrade, isAnswered } from '../db/upgrades.ts';
import { errorSummary } from '../fields.ts';
import type { FormError, FormState } from '../forms.ts';
import { measuringSentences } from '../measuring-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { found } from './asked-row.ts';
import { measureLines } from './measure-first.ts';
import { measuringPage, readChance } from './measuring.view.ts';

export function measuringPages(app: FastifyInstance, { db, library, now, parts, planning, render }: Deps): void {
  app.get(paths.measuring.show, (request, reply) => {
    const ledger = readLedger(db);
    const plan = latestPlan(db);
    const form = chancesTyped(request);
    const { scoring } = gatherScoring(db, library(), now());
    const { measureFirst } = scoreCollection(scoring);
    const isAwaited = (one: (typeof measureFirst)[number]) => one.measure === 'reading' && one.cause === 'awaited';
    const awaited = measureFirst.filter(isAwaited);
    const unknown = measureFirst.filter((one) => !isAwaited(one));
    const model = measuringPage({
      awaited: measureLines(awaited, scoring.collection),
      unknown: measureLines(unknown, scoring.collection),
      isReckoning: planning.progress() !== null || planning.studying() !== null,
      studied:
        plan === null || plan.roadmap === null
          ? null
          : { plan, studies: studiesOf(db, plan.id), studying: planning.studying(), locale: ledger.locale },
      isStale: plan !== null && plan.ledgerVersion !== ledgerVersion(db),
      collection: loadCollection(db),
      parts,
      system: ledger.unitSystem,
      currency: ledger.currency,
      locale: ledger.locale,
      form,
    });
    return render(
      reply,
      'measuring',
      { ...model, mistakes: errorSummary(form) },
      { title: model.heading, current: 'roadmap', status: form.errors.length > 0 ? 422 : 200 },
    );
  });

  app.post(paths.measuring.study, (_request, reply) => {
    planning.study({ moreTime: true, first: 'measuring' });
    return reply.redirect(paths.measuring.show, 303);
  });

  app.post(paths.measuring.wantMeter, (request, reply) => {
    const asked = (request.body as { kind?: unknown } | null)?.kind;
    const kind = READING_KINDS.find((one) => one === asked);
    const meter = found(kind === undefined ? null : meterFor(parts, kind));
    const key = `meter:${meter.id}`;
    inTransaction(db, (tx) => {
      // Pressed twice, or for another reading of the same meter: it is on the list already.
      if (isAnswered(tx, key)) return;
      const ledger = readLedger(tx);
      const isPriced = kind !== undefined && meterPricesIn(parts, ledger.currency)[kind] !== undefined;
      addUpgrade(tx, {
        name: meter.name,
        status: 'wanted',
        origin: 'proposed',
        proposalKey: key,
        priceLow: isPriced ? meter.priceLow : noMoney,
        priceHigh: isPriced ? meter.priceHigh : noMoney,
        monthlyCost: noMoney,
        lifeMonths: null,
        renewalPrice: null,
        leadMonths: meter.leadMonths,
        earliestMonth: null,
        pinnedMonth: monthOf(dateOfInstant(now(), ledger.timeZone)),
        arrivesMonth: null,
        requires: [],
        group: null,
        proceeds: null,
        changes: [],
        note: measuringSentences.meterNote,
      });
    });
    return reply.redirect(withNotice(paths.upgrades.list, 'wanted'), 303);
  });
}

function chancesTyped(request: FastifyRequest): FormState {
  const values = Object.fromEntries(
    Object.entries((request.query ?? {}) as Record<string, unknown>).flatMap(([name, value]) =>
      name.startsWith('chance-') && typeof value === 'string' ? [[name, value]] : [],
    ),
  );
  const errors = Object.entries(values).flatMap(([field, typed]): FormError[] =>
    readChance(typed) === 'bad' ? [{ field, message: measuringSentences.chanceMistake }] : [],
  );
  return { values, errors };
}

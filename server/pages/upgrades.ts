// The pages of the list of upgrades: proposals to accept, price or refuse, one upgrade, and the form in which it is entered or changed.
// What happens to one afterwards (bought, fitted, pinned) is registered from upgrade-steps.ts.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import { isFitted } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import type { Proposal } from '../../src/proposals.ts';
import { type UnitSystem, withMeasuresIn } from '../../src/units.ts';
import { enclosuresOf } from '../../src/upgrades.ts';
import { listEvents } from '../db/events.ts';
import { readLedger } from '../db/ledger.ts';
import { listOldThings } from '../db/old-things.ts';
import { inTransaction, type Session, type Tx } from '../db/open.ts';
import { latestPlan } from '../db/plans.ts';
import { listPredictions } from '../db/predictions.ts';
import { studiesOf } from '../db/studies.ts';
import {
  addUpgrade,
  changeUpgrade,
  findUpgrade,
  isAnswered,
  listUpgrades,
  type UpgradeFacts,
  type UpgradeRecord,
} from '../db/upgrades.ts';
import { type Conflict, conflictView } from '../fields.ts';
import { type FormState, startForm, type Values, withMistake } from '../forms.ts';
import { trialSentences } from '../light-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { proposalName } from '../proposal-words.ts';
import { gatherScoring } from '../scores.ts';
import { upgradeSentences } from '../upgrade-words.ts';
import { listed } from '../words.ts';
import { found, idFrom, presentRow, versionOf } from './asked-row.ts';
import { MOST_CHANGES, withChange } from './change-form.ts';
import { boxLasts as boxLastsOf } from './growth.view.ts';
import { askedTrial, trialUpgrade } from './lamp-trial.ts';
import { oldThingViews } from './old-things.ts';
import { openProposals } from './open-proposals.ts';
import { type Asked, askedOf, narrowingTo } from './paging.ts';
import { newMark, ONCE_FIELD, rememberSent, saveOnce } from './sent-twice.ts';
import { objectionSentence, planSaysOf } from './studies.view.ts';
import {
  type AroundUpgrade,
  comparedLabels,
  comparedValues,
  firstTexts,
  offeredIn,
  readUpgrade,
  upgradeFormPage,
  upgradeTexts,
} from './upgrade-form.ts';
import { upgradeSteps } from './upgrade-steps.ts';
import { type AroundUpgrades, changesInWords, placeWords, upgradePage, upgradesPage } from './upgrades.view.ts';

/**
 * Wants every proposal that has a price, and is not answered, with a note, and says how many those were. `unaskedSince` is the day where
 * planning takes them by itself.
 */
export function takeProposals(
  tx: Tx,
  proposals: readonly Proposal[],
  system: UnitSystem,
  note = '',
  unaskedSince: PlainDate | null = null,
): number {
  const open = proposals.filter((one) => one.priced && !isAnswered(tx, one.key));
  for (const one of open) {
    const answered = { ...unplanned, status: 'wanted', origin: 'proposed', proposalKey: one.key } as const;
    addUpgrade(tx, { ...proposedFacts(one, system), note: one.isFree ? '' : note, ...answered }, unaskedSince);
  }
  return open.length;
}

function proposedFacts({ act, upgrade }: Proposal, system: UnitSystem): UpgradeFacts {
  const { proposalKey: _, pinnedMonth: _pinned, arrivesMonth: _arrives, ...facts } = upgrade;
  const changes = facts.changes.map((one) =>
    one.change === 'fit'
      ? { ...one, fitting: { ...one.fitting, name: withMeasuresIn(one.fitting.name, system) } }
      : one,
  );
  return { ...facts, changes, name: proposalName(act, system).slice(0, 160), note: '' };
}

/** What a sent form of an upgrade carries besides its fields. */
type Sent = { values: Values; step: string; proposalKey: string | null; trial: string | null; offersAll: boolean };

export function upgradePages(app: FastifyInstance, deps: Deps): void {
  const { db, library, now, parts, render } = deps;

  app.get(paths.upgrades.list, ({ query }, reply) => {
    const model = upgradesPage(gather(db), askedOf(paths.upgrades.list, query));
    return render(reply, 'upgrades', model, { title: model.heading, current: 'upgrades' });
  });

  app.post(paths.upgrades.acceptProposal, (request, reply) => {
    if (wasAnswered(request, 'wanted')) return reply.redirect(withNotice(paths.upgrades.list, 'sent-twice'), 303);
    const proposal = proposalSent(request);
    if (!proposal.priced) throw new AppError('conflict', upgradeSentences.needsPrice);
    const facts = factsOf(proposal);
    inTransaction(db, (tx) => answer(tx, proposal.key, facts, 'wanted'));
    return reply.redirect(withNotice(paths.upgrades.list, 'wanted'), 303);
  });

  app.post(paths.upgrades.refuseProposal, (request, reply) => {
    if (wasAnswered(request, 'refused')) return reply.redirect(withNotice(paths.upgrades.list, 'sent-twice'), 303);
    const proposal = proposalSent(request);
    const facts = factsOf(proposal);
    inTransaction(db, (tx) => answer(tx, proposal.key, facts, 'refused'));
    return reply.redirect(withNotice(paths.upgrades.list, 'refused'), 303);
  });

  app.get(paths.upgrades.new, (request, reply) => {
    const { proposal: key, trial } = request.query as { proposal?: unknown; trial?: unknown };
    const around = aroundForm(db, null);
    const asked = askedOf(paths.upgrades.new, request.query);
    if (trial !== undefined) return showTrial(reply, around, new URLSearchParams(request.query as never).toString());
    if (key === undefined)
      return showForm(reply, around, startForm(firstTexts), { row: null, proposalKey: null, asked });
    const proposal = findProposal(String(key));
    const texts = upgradeTexts(factsOf(proposal), around);
    const unpriced = proposal.priced ? {} : { priceLow: '', priceHigh: '' };
    return showForm(reply, around, startForm({ ...texts, ...unpriced }), { row: null, proposalKey: proposal.key });
  });

  app.post(paths.upgrades.new, (request, reply) => {
    const around = aroundForm(db, null);
    const { values, step, proposalKey, trial, offersAll } = sent(request);
    const frame = { row: null, proposalKey, trial, offersAll };
    if (step === 'all') return showForm(reply, around, startForm(values), frame);
    if (step === 'add') return addChange(reply, around, values, frame);
    const proposal = proposalKey === null ? undefined : gather(db).proposals.find((one) => one.key === proposalKey);
    const began = proposal === undefined ? (trial === null ? null : (tried(trial)?.facts ?? null)) : factsOf(proposal);
    const read = readUpgrade(values, around, began);
    if (read.status === 'bad')
      return showForm(reply, around, { values, errors: read.errors }, { ...frame, status: 422 });
    const id = inTransaction(db, (tx) => {
      const added =
        proposalKey === null
          ? addUpgrade(tx, { ...read.facts, ...unplanned, status: 'wanted', origin: 'own', proposalKey })
          : answer(tx, proposalKey, read.facts, 'wanted');
      rememberSent(tx, request, paths.upgrades.show(added));
      return added;
    });
    return reply.redirect(withNotice(paths.upgrades.show(id), 'added'), 303);
  });

  app.get(paths.upgrades.show(':id'), (request, reply) => {
    const row = standingRow(request);
    const around = gather(db);
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const old = oldThingViews(row, listOldThings(db), scoring, ledger);
    const model = upgradePage(row, around, listEvents(db), objectionTo(row), old);
    return render(reply, 'upgrade', model, {
      title: model.heading,
      current: 'upgrades',
      back: { href: paths.upgrades.list, label: 'All upgrades' },
    });
  });

  app.get(paths.upgrades.edit(':id'), (request, reply) => {
    const row = changeableRow(request);
    const around = aroundForm(db, row);
    return showForm(reply, around, startForm(upgradeTexts(row, around)), { row, proposalKey: null });
  });

  app.post(paths.upgrades.edit(':id'), (request, reply) => {
    const row = changeableRow(request);
    const around = aroundForm(db, row);
    const version = versionOf(request);
    const { values, step, offersAll } = sent(request);
    const frame = { row, proposalKey: null, version, offersAll };
    if (step === 'all') return showForm(reply, around, startForm(values), frame);
    if (step === 'add') return addChange(reply, around, values, frame);
    const read = readUpgrade(values, around, row);
    if (read.status === 'bad')
      return showForm(reply, around, { values, errors: read.errors }, { ...frame, status: 422 });
    const shownAt = () => paths.upgrades.show(row.id);
    const outcome = saveOnce(db, request, shownAt, (tx) => changeUpgrade(tx, Number(row.id), version, read.facts));
    if (outcome === 'saved') return reply.redirect(withNotice(paths.upgrades.show(row.id), 'saved'), 303);
    const saved = changeableRow(request);
    const words = (facts: UpgradeFacts) => changesInWords(facts.changes, gather(db));
    const conflict = conflictView(
      `“${saved.name}”`,
      comparedLabels,
      comparedValues(upgradeTexts(saved, around), words(saved)),
      comparedValues(values, words(read.facts)),
      paths.upgrades.show(saved.id),
    );
    return showForm(reply, around, startForm(values), { row: saved, proposalKey: null, status: 409, conflict });
  });

  upgradeSteps(app, deps, { gather, standingRow, anyRow });

  // What was worked out about the latest plan concerns only what is still to be decided.
  function objectionTo(row: UpgradeRecord): string | null {
    const plan = row.status === 'wanted' ? latestPlan(db) : null;
    if (plan === null) return null;
    const { locale } = readLedger(db);
    const objection = objectionSentence({ plan, studies: studiesOf(db, plan.id), studying: null, locale }, row.id);
    const told = [planSaysOf(plan.roadmap, row.id, locale) ?? [], objection ?? []].flat();
    return told.length === 0 ? null : told.join(' ');
  }

  function gather(session: Session): AroundUpgrades {
    const { ledger, today, scoring } = gatherScoring(session, library(), now());
    const upgrades = listUpgrades(session);
    const { collection } = scoring;
    const { proposals, unanswered } = openProposals(session, parts, { ledger, today, scoring });
    const boxLasts = ({ upgrade }: Proposal) => boxLastsOf(scoring, upgrade.changes, ledger.locale);
    const promised = listPredictions(session);
    const removed = listUpgrades(session, 'removed');
    return {
      ledger,
      today,
      collection,
      library: scoring.library,
      upgrades,
      removed,
      proposals,
      unanswered,
      promised,
      boxLasts,
    };
  }

  function aroundForm(session: Session, row: UpgradeRecord | null): AroundUpgrade {
    const { ledger, today, scoring } = gatherScoring(session, library(), now());
    const { collection } = scoring;
    return {
      system: ledger.unitSystem,
      currency: ledger.currency,
      locale: ledger.locale,
      enclosures: collection.enclosures.map(({ id }) => ({ id, label: placeWords(id, collection) })),
      fittings: collection.fittings
        .filter((one) => isFitted(one, today) || one.fittedOn > today)
        .map((one) => ({
          id: one.id,
          kind: one.kind,
          label: `${one.name}, in ${placeWords(one.enclosureId, collection)}`,
          enclosureId: one.enclosureId,
        })),
      others: listUpgrades(session)
        .filter((one) => one.id !== row?.id && one.status !== 'refused')
        .map((one) => {
          const enclosureIds = enclosuresOf(one, collection);
          const whose = listed(enclosureIds.map((id) => placeWords(id, collection)));
          return { id: one.id, name: whose === '' ? one.name : `${one.name}, for ${whose}`, enclosureIds };
        }),
    };
  }

  function findProposal(key: string): Proposal {
    const found = gather(db).proposals.find((one) => one.key === key);
    if (found !== undefined) return found;
    const answered = isAnswered(db, key);
    throw new AppError('conflict', answered ? upgradeSentences.answeredMeanwhile : upgradeSentences.noLongerProposed);
  }

  /** What a trial of a lamp would become, from its parameters; null when it cannot be made any more. */
  function tried(parameters: string): { facts: UpgradeFacts; priced: boolean } | null {
    const query = Object.fromEntries(new URLSearchParams(parameters));
    const { ledger, scoring } = gatherScoring(db, library(), now());
    if (!scoring.collection.enclosures.some((one) => one.id === query.trial)) return null;
    const around = { enclosureId: query.trial!, ledger, scoring, parts };
    const asked = askedTrial(query, around);
    if (asked.status !== 'tried') return null;
    return { facts: trialUpgrade(asked.trial, around), priced: parts.currency === ledger.currency.code };
  }

  function showTrial(reply: FastifyReply, around: AroundUpgrade, parameters: string): FastifyReply {
    const made = tried(parameters);
    if (made === null) throw new AppError('invalid', trialSentences.unreadable);
    const unpriced = made.priced ? {} : { priceLow: '', priceHigh: '' };
    const form = startForm({ ...upgradeTexts(made.facts, around), ...unpriced });
    return showForm(reply, around, form, { row: null, proposalKey: null, trial: parameters });
  }

  // A proposal goes by its key, and is answered once.
  function wasAnswered(request: FastifyRequest, status: 'wanted' | 'refused'): boolean {
    const { key } = (request.body ?? {}) as Record<string, unknown>;
    return listUpgrades(db).some((one) => one.proposalKey === key && one.status === status);
  }

  function proposalSent(request: FastifyRequest): Proposal {
    const { key } = (request.body ?? {}) as Record<string, unknown>;
    return findProposal(String(key));
  }

  function factsOf(proposal: Proposal): UpgradeFacts {
    return proposedFacts(proposal, readLedger(db).unitSystem);
  }

  function answer(tx: Session, proposalKey: string, facts: UpgradeFacts, status: 'wanted' | 'refused'): string {
    if (isAnswered(tx, proposalKey)) throw new AppError('conflict', upgradeSentences.answeredMeanwhile);
    return addUpgrade(tx, { ...facts, ...unplanned, status, origin: 'proposed', proposalKey });
  }

  function anyRow(request: FastifyRequest): UpgradeRecord {
    return found(findUpgrade(db, idFrom(request.params)));
  }

  function standingRow(request: FastifyRequest): UpgradeRecord {
    return presentRow(anyRow(request));
  }

  function changeableRow(request: FastifyRequest): UpgradeRecord {
    const row = standingRow(request);
    if (row.status === 'fitted') throw new AppError('conflict', upgradeSentences.fittedIsPast);
    return row;
  }

  type FormFrame = {
    row: UpgradeRecord | null;
    proposalKey: string | null;
    trial?: string | null;
    version?: number;
    status?: number;
    conflict?: Conflict;
    added?: boolean;
    /** What the address asks for; left out where a form was sent. */
    asked?: Asked;
    offersAll?: boolean;
  };

  function addChange(reply: FastifyReply, around: AroundUpgrade, values: Values, frame: FormFrame): FastifyReply {
    const { add = '', ...rest } = values;
    const added = withChange(rest, add);
    if (typeof added === 'string') {
      const sentence =
        added === 'unknown' ? upgradeSentences.chooseChange : upgradeSentences.tooManyChanges(MOST_CHANGES);
      return showForm(reply, around, withMistake(startForm(values), 'add', sentence), { ...frame, status: 422 });
    }
    return showForm(reply, around, startForm(added), { ...frame, added: true });
  }

  function showForm(reply: FastifyReply, around: AroundUpgrade, form: FormState, frame: FormFrame): FastifyReply {
    const { row, proposalKey, trial = null, status = 200, conflict, added = false, asked, offersAll = false } = frame;
    const boxes = around.enclosures.map(({ id, label }) => ({ id, name: label }));
    const { enclosureId = null, narrowing = null } = asked === undefined ? {} : narrowingTo(boxes, asked);
    const offered = offersAll ? null : offeredIn(around, form.values, enclosureId);
    const model = upgradeFormPage(form, offered ?? around, {
      narrowing: offered === null ? null : narrowing,
      offering: offered === null ? null : upgradeSentences.offersFew,
      offered: offersAll ? 'all' : null,
      heading:
        row !== null
          ? `Change “${row.name}”`
          : proposalKey === null
            ? 'Enter an upgrade of your own'
            : 'Change and accept a proposal',
      lead: 'Something to buy, or something to do that costs nothing. Say what it costs and what it changes; its worth is found by scoring the set-up.',
      action: row === null ? paths.upgrades.new : paths.upgrades.edit(row.id),
      version: row === null ? null : String(frame.version ?? row.version),
      once: row === null ? newMark() : null,
      proposal: proposalKey,
      trial,
      submit: row === null ? 'Enter this upgrade' : 'Save',
      cancel: row === null ? paths.upgrades.list : paths.upgrades.show(row.id),
      added,
      ...(conflict === undefined ? {} : { conflict }),
    });
    return render(reply, 'upgrade-form', model, { title: model.heading, current: 'upgrades', status });
  }
}

const unplanned = { pinnedMonth: null, arrivesMonth: null };

/** Takes apart what a form sent: its fields, the button that was pressed, the proposal or trial it began as. */
function sent(request: FastifyRequest): Sent {
  const body = Object.entries((request.body ?? {}) as Record<string, unknown>);
  const texts = Object.fromEntries(body.filter((one): one is [string, string] => typeof one[1] === 'string'));
  const { step = 'save', proposal = '', trial = '', offered = '', version: _, [ONCE_FIELD]: _once, ...values } = texts;
  const offersAll = step === 'all' || offered === 'all';
  return {
    values,
    step,
    proposalKey: proposal === '' ? null : proposal,
    trial: trial === '' ? null : trial,
    offersAll,
  };
}

// What the path to a first plan shows: its steps with what is done and what is next, what was taken for granted, and the search that finds
// a species.

import { formatDate } from '../../src/calendar.ts';
import { LEFT_OPEN } from '../../src/first-facts.ts';
import { formatMoney } from '../../src/money.ts';
import type { Proposal } from '../../src/proposals.ts';
import type { Scoring } from '../../src/score.ts';
import type { Species } from '../../src/species.ts';
import { unitName } from '../../src/units.ts';
import { type Assumption, firstStepsPutAway, listAssumptions } from '../db/first-steps.ts';
import type { Ledger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import { latestPlan } from '../db/plans.ts';
import { listUpgrades } from '../db/upgrades.ts';
import { activityWords, groupWords } from '../kind-words.ts';
import { paths } from '../paths.ts';
import type { CollectionScores } from '../scores.ts';
import { assumptionSentences, startSentences } from '../start-words.ts';
import { capital } from '../words.ts';

/** One step of the path. `send` is where a button sends, `href` where a link leads. */
export type Step = {
  text: string;
  done: boolean;
  isNext: boolean;
  note: string | null;
  href: string | null;
  send: string | null;
  action: string;
  more: { href: string; label: string } | null;
};

/** What views/pages/start.hbs shows. */
type StartPage = {
  heading: string;
  lead: string | null;
  steps: Step[];
  progress: string;
  writing: { text: string; href: string };
  assumed: {
    where: string;
    lines: {
      text: string;
      href: string;
      action: string;
      /** Where the things in a box are listed, when the line is about those too. */
      things: { href: string; action: string } | null;
      settle: { action: string; label: string } | null;
    }[];
  }[];
  putAway: { href: string; label: string };
};

/** What views/pages/start-find.hbs shows. */
type FindPage = {
  heading: string;
  lead: string | null;
  action: string;
  label: string;
  typed: string;
  said: string | null;
  rows: { name: string; href: string; scientificName: string; what: string }[];
  otherwise: { text: string; links: { href: string; label: string }[] } | null;
};

type Around = {
  ledger: Ledger;
  scoring: Scoring;
  scores: CollectionScores;
  /** What is proposed and open; not asked for where only the steps are shown. */
  proposals: readonly Proposal[] | null;
  /** Whether the shipped prices are in another currency than the ledger. */
  asksRate: boolean;
};

/** The steps to a first plan as the ledger stands, in their order; the first that is not done is next. */
export function stepsTo(session: Session, { ledger, scoring, scores, proposals, asksRate }: Around): Step[] {
  const animals = scoring.collection.animals.length;
  const plan = latestPlan(session);
  const assumed = listAssumptions(session).filter((one) => !one.leftOpen).length;
  const taken = listUpgrades(session).filter((one) => one.status !== 'refused').length;
  const ready = (proposals ?? []).filter((one) => one.priced || asksRate).length;
  const amount = (sum: NonNullable<Ledger['monthlySum']>) => formatMoney(sum, ledger.currency, ledger.locale);
  const firstBox = scoring.collection.enclosures[0];
  const step = (text: string, done: boolean, more: Partial<Step>): Step => ({
    ...{ text, done, isNext: false, note: null, href: null, send: null, action: '', more: null },
    ...more,
  });
  const hasAnimal = scores.scored.length > 0;
  const hasMoney = ledger.monthlySum !== null && ledger.cashCounted !== null;
  const canPlan = hasAnimal && hasMoney;
  const steps = [
    step(startSentences.animal, hasAnimal, {
      note: animals === 0 ? null : `${animals === 1 ? '1 animal is' : `${animals} animals are`} in.`,
      href: paths.start.find,
      action: animals === 0 ? 'Enter an animal' : 'Enter another animal',
    }),
    step(startSentences.money, hasMoney, {
      note: hasMoney ? `${amount(ledger.monthlySum!)} a month, ${amount(ledger.cashCounted!)} counted.` : null,
      href: hasMoney ? paths.moneyChange : paths.start.money,
      action: hasMoney ? 'Change the money' : 'Enter the money',
    }),
    step(startSentences.plan, plan !== null, {
      note: planNote(ready, taken, proposals === null),
      ...(plan !== null
        ? { href: paths.roadmap.show, action: 'Look at the roadmap' }
        : canPlan && asksRate
          ? {
              href: paths.start.prices,
              action: 'Take them all and plan',
              more: { href: paths.upgrades.list, label: 'Choose one by one' },
            }
          : canPlan
            ? {
                send: paths.start.plan,
                action: ready === 0 ? 'Plan' : 'Take them all and plan',
                more: { href: paths.upgrades.list, label: 'Choose one by one' },
              }
            : {}),
    }),
    step(
      startSentences.measure,
      scoring.collection.readings.some((one) => one.evidence === 'measured'),
      firstBox === undefined ? {} : { href: paths.enclosures.round(firstBox.id), action: 'Enter readings' },
    ),
    step(startSentences.assumed, hasAnimal && assumed === 0, {
      note: assumed === 0 ? null : `${assumed === 1 ? '1 thing is' : `${assumed} things are`} left.`,
      ...(assumed === 0 ? {} : { href: `${paths.start.show}#assumed`, action: 'Look them over' }),
    }),
  ];
  const next = steps.findIndex((one) => !one.done);
  return steps.map((one, place) => ({ ...one, isNext: place === next }));
}

function planNote(ready: number, taken: number, unasked: boolean): string | null {
  if (unasked) return null;
  if (ready > 0)
    return `${ready === 1 ? '1 thing is' : `${ready} things are`} proposed, what costs nothing among them.`;
  return taken > 0 ? `${taken === 1 ? '1 thing is' : `${taken} things are`} taken.` : null;
}

/** The path to a first plan. */
export function startPage(session: Session, around: Around): StartPage {
  const { ledger, scoring } = around;
  const steps = stepsTo(session, around);
  const done = steps.filter((one) => one.done).length;
  const assumptions = listAssumptions(session);
  const boxes = scoring.collection.enclosures.filter(({ id }) => assumptions.some((one) => one.enclosureId === id));
  const away = firstStepsPutAway(session);
  return {
    heading: startSentences.heading,
    lead: done === steps.length ? startSentences.allDone : startSentences.lead,
    steps,
    progress: `${done} of ${steps.length} steps done`,
    writing: {
      text: `Amounts are in ${ledger.currency.code}, lengths in ${unitName('length', ledger.unitSystem)}, temperatures in ${unitName('temperature', ledger.unitSystem)}. ${startSentences.todayIs(formatDate(scoring.on, ledger.locale), ledger.timeZone)}`,
      href: paths.start.writing,
    },
    assumed: boxes.map(({ id, name }) => ({
      where: name,
      lines: assumptions.filter((one) => one.enclosureId === id).map(assumedLine),
    })),
    putAway: away
      ? { href: paths.start.takeOut, label: 'Show these steps on the first page again' }
      : { href: paths.start.putAway, label: 'Put these steps away' },
  };
}

/** One thing that was taken for granted, with where it is corrected and what calls it right. */
function assumedLine(one: Assumption): StartPage['assumed'][number]['lines'][number] {
  const { of, rowId, enclosureId } = one;
  // What nobody knows cannot be called right.
  const isOpen = LEFT_OPEN.has(one.what);
  const href =
    of === 'animal'
      ? paths.animals.edit(rowId)
      : of === 'enclosure'
        ? paths.enclosures.edit(rowId)
        : one.what === 'heater-not-looked-at'
          ? paths.enclosures.fittings.new(enclosureId!)
          : one.what === 'thermostat-not-looked-for'
            ? paths.enclosures.fittings.look(enclosureId!, rowId)
            : paths.enclosures.fittings.edit(enclosureId!, rowId);
  return {
    // The box is named above its lines.
    text: `${of === 'enclosure' ? '' : `${one.name}: `}${assumptionSentences[one.what]}${one.leftOpen ? ` ${startSentences.leftOpen}` : ''}`,
    href,
    // The day of each thing is on its own form, and the page of the box lists those.
    things:
      one.what === 'in-use-for-a-year' ? { href: paths.enclosures.show(rowId), action: startSentences.things } : null,
    action: isOpen ? startSentences.look : startSentences.correct,
    settle: one.leftOpen
      ? null
      : { action: paths.start.settle(one.id), label: isOpen ? startSentences.leaveOpen : startSentences.right },
  };
}

/** The search for a species, with what it found, or what comes nearest; `typed` is null as long as nothing was looked for. */
export function findPage(typed: string | null, found: readonly Species[], near: readonly Species[]): FindPage {
  const rows = [...found, ...near].map((one) => ({
    name: one.commonName,
    href: paths.start.animal(one.id),
    scientificName: one.scientificName,
    what: `${capital(groupWords[one.group])}, active ${activityWords[one.activity]}${one.otherNames.length === 0 ? '' : `; also ${one.otherNames.join(', ')}`}`,
  }));
  const nothing = startSentences.nothingFound(typed ?? '');
  return {
    heading: startSentences.findHeading,
    lead: startSentences.findLead,
    action: paths.start.find,
    label: startSentences.findLabel,
    typed: typed ?? '',
    said:
      typed === null
        ? null
        : typed === ''
          ? startSentences.nothingTyped
          : found.length > 0
            ? `${found.length === 1 ? '1 species' : `${found.length} species`} found: tap yours.`
            : near.length > 0
              ? `${nothing} ${startSentences.nearest}`
              : nothing,
    rows,
    otherwise:
      typed === null || typed === '' || found.length > 0
        ? null
        : {
            text: startSentences.notThere,
            links: [
              { href: paths.species.list, label: 'All species' },
              { href: paths.ownSpecies.new, label: 'Add a species' },
            ],
          },
  };
}

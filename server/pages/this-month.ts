// Everything to do in the present month on one sheet, in the order of what it costs: free, borrowed, handed down, bought.

import type { FastifyInstance } from 'fastify';
import { formatDate, formatMonth, monthOf } from '../../src/calendar.ts';
import { isAtHand, takes } from '../../src/instruments.ts';
import { formatMoney } from '../../src/money.ts';
import { meterFor } from '../../src/unsettled.ts';
import { enclosuresOf } from '../../src/upgrades.ts';
import { cautions } from '../caution-words.ts';
import { listInstruments } from '../db/instruments.ts';
import { listOldThings } from '../db/old-things.ts';
import { latestPlan } from '../db/plans.ts';
import { readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { oldThingWords as oldWords, shoppingWords, monthWords as words } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { behindSentence, effectSentence, roadmapSentences, whyNowSentence } from '../plan-words.ts';
import { proposalName } from '../proposal-words.ts';
import { reasonSentence } from '../score-words.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { upgradeSentences } from '../upgrade-words.ts';
import { listed } from '../words.ts';
import { type AtOnce, atOnceOf, coolingOf, severeShortfallsOf } from './before-anything-else.ts';
import { monthListOf, type OpenBuy } from './month-list.ts';
import { questionOf, replacedWords, sparedSentences } from './old-things.ts';
import { openProposals } from './open-proposals.ts';
import { type Asked, askedOf, type PagesView, pageOf } from './paging.ts';
import { whatIsMissing } from './roadmap.ts';
import { mostUrgentFirst } from './roadmap.view.ts';
import { placeWords, wayBackLines } from './upgrades.view.ts';

/** One thing to do: what, for whom and at what price, why, and where it goes on. */
type Step = { what: string; detail: string; why: string; href: string; action: string };

/** What views/pages/this-month.hbs shows. */
type MonthPage = {
  heading: string;
  lead: string;
  /** What is done before anything else; null where nothing is. */
  atOnce: AtOnce | null;
  stale: string | null;
  roadmapHref: string;
  sections: {
    id: string;
    heading: string;
    none: string | null;
    note: string | null;
    steps: Step[];
    pages: PagesView | null;
    link: { href: string; label: string } | null;
  }[];
  cautions: string[];
};

export function thisMonthPages(app: FastifyInstance, deps: Deps): void {
  app.get(paths.thisMonth, ({ query }, reply) => {
    const model = monthPage(deps, askedOf(paths.thisMonth, query));
    return deps.render(reply, 'this-month', model, {
      title: model.heading,
      current: 'home',
      back: { href: paths.home, label: 'This month' },
    });
  });
}

function monthPage({ db, library, now, parts }: Deps, asked: Asked): MonthPage {
  const gathered = gatherScoring(db, library(), now());
  const { ledger, today, scoring } = gathered;
  const missing = whatIsMissing(db);
  const canPlan = missing === null || missing.href === paths.upgrades.list;
  const { collection } = scoring;
  const { locale, currency, unitSystem } = ledger;
  const list = monthListOf(db, ledger, today);
  const urgent = mostUrgentFirst(list.open.map(({ buy }) => buy));
  const openOf = new Map(list.open.map((one) => [one.buy, one]));
  const open = urgent.map((buy) => openOf.get(buy)!);
  const old = listOldThings(db);
  const handed = new Set(old.map((one) => one.toUpgradeId));
  const isHandDown = ({ upgrade }: OpenBuy) => handed.has(upgrade.id);
  const step = (one: OpenBuy): Step => {
    const { buy, upgrade, animals } = one;
    const free = upgrade.priceHigh === 0;
    return {
      what: buy.name,
      // What a thing changes names its animal itself.
      detail: [
        ...(free ? [] : [formatMoney(buy.price, currency, locale)]),
        ...(animals.length === 0 || (free && buy.effects.length > 0) ? [] : [`for ${listed(animals)}`]),
      ].join(', '),
      // That it costs nothing stands once above all that does not.
      why: [
        ...(free ? [] : [whyNowSentence(buy.whyNow), ...[behindSentence(buy) ?? []].flat()]),
        ...buy.effects.slice(0, 2).map((effect) => {
          const animal = collection.animals.find(({ id }) => id === effect.animalId)?.name ?? '';
          return effectSentence(effect, animal);
        }),
      ].join(' '),
      href: free ? paths.upgrades.fitted(upgrade.id) : paths.upgrades.bought(upgrade.id),
      action: free ? words.done : 'I bought it',
    };
  };
  const cooling = coolingOf(list.upgrades, collection).map(({ upgrade }) => upgrade);
  const cools = new Set(cooling.map(({ id }) => id));
  const planned = open.filter((one) => one.upgrade.priceHigh === 0 && !isHandDown(one) && !cools.has(one.upgrade.id));
  const proposed = openProposals(db, parts, { ledger, today, scoring }).proposals.filter((one) => one.isFree);
  return {
    heading: words.heading(formatMonth(list.month, locale)),
    lead: words.lead,
    atOnce: atOnceOf(severeShortfallsOf(db, parts, gathered), gathered, latestPlan(db), canPlan, asked),
    stale: list.stale ? shoppingWords.stale : list.planned ? null : shoppingWords.noPlan,
    roadmapHref: paths.roadmap.show,
    sections: [
      section(
        'free',
        words.free,
        [
          ...cooling.map((one) => () => ({
            what: one.name,
            detail: `for ${listed(enclosuresOf(one, collection).map((id) => placeWords(id, collection)))}`,
            why: words.coolFirst,
            href: paths.upgrades.fitted(one.id),
            action: words.done,
          })),
          ...byAnimal(planned).map((one) => () => step(one)),
          ...proposed.map((one) => () => ({
            what: proposalName(one.act, unitSystem),
            detail: `for ${placeWords(one.enclosureId, collection)}`,
            why: [...one.because.slice(0, 1).map((each) => reasonSentence(each, ledger)), words.proposedFree].join(' '),
            href: paths.upgrades.list,
            action: words.acceptThem,
          })),
        ],
        (made) => made(),
        words.noFree,
      ),
      {
        ...section('borrow', words.borrow, borrowed(), (one) => one, words.noBorrow),
        note: words.borrowHint,
        link: { href: paths.measuring.weekend, label: words.weekend },
      },
      {
        ...section(
          'hand-down',
          words.handDown,
          [...open.filter(isHandDown).map((one) => () => step(one)), ...unanswered().map((one) => () => one)],
          (made) => made(),
          words.noHandDown,
        ),
        note: sparedSentences(old, ledger)?.join(' ') ?? null,
      },
      {
        ...section(
          'buy',
          words.buy,
          open.filter((one) => one.upgrade.priceHigh > 0),
          step,
          words.noBuy,
        ),
        link: { href: paths.shopping, label: words.shopping },
      },
      section('renew', words.renew, list.renewals, (due) => ({
        what: due.name,
        detail: `${due.price === null ? shoppingWords.unpriced : formatMoney(due.price, currency, locale)}, for ${placeWords(due.enclosureId, collection)}`,
        why: shoppingWords.renewal(formatDate(due.dueOn, locale), due.state === 'overdue'),
        href: paths.enclosures.fittings.renewed(due.enclosureId, due.fittingId),
        action: 'I renewed it',
      })),
      section('fit', words.fit, list.toFit, (one) => ({
        what: one.name,
        detail: '',
        why: upgradeSentences.runIn,
        href: paths.upgrades.sheet(one.id),
        action: 'The sheet to fit it by',
      })),
      section(
        'done',
        words.doneThisMonth,
        list.upgrades.filter(
          (one) =>
            one.boughtOn !== null &&
            [one.boughtOn, one.fittedOn ?? one.boughtOn].some((day) => monthOf(day) === list.month),
        ),
        (one) => ({
          what: one.name,
          detail: '',
          why:
            one.paid === 0
              ? words.doneOn(formatDate(one.fittedOn ?? one.boughtOn!, locale))
              : roadmapSentences.paid(
                  formatMoney(one.paid!, currency, locale),
                  formatDate(one.boughtOn!, locale),
                  one.fittedOn === null ? null : formatDate(one.fittedOn, locale),
                ),
          href: paths.upgrades.show(one.id),
          action: words.lookAtIt,
        }),
      ),
      section(
        'go-back',
        words.goBack,
        list.upgrades.flatMap((one) =>
          wayBackLines(one, { collection, ledger, today }, false).map((why) => ({
            what: one.name,
            detail: '',
            why,
            href: paths.upgrades.show(one.id),
            action: words.whatToCheck,
          })),
        ),
        (one) => one,
      ),
    ].filter((one) => one.steps.length > 0 || one.none !== null),
    cautions: [cautions.unknowable, cautions.vet],
  };

  // A list of steps, a page at a time; `none` stands in the place of an empty one.
  function section<Row>(
    id: string,
    heading: string,
    all: readonly Row[],
    stepOf: (row: Row) => Step,
    none: string | null = null,
  ): MonthPage['sections'][number] {
    const { rows, pages } = pageOf(all, asked, { what: 'steps', name: id, id });
    return {
      id,
      heading,
      none: all.length === 0 ? none : null,
      note: null,
      steps: rows.map(stepOf),
      pages,
      link: null,
    };
  }

  // What was replaced and of which nobody said what becomes of it.
  function unanswered(): Step[] {
    return old
      .filter((one) => one.fate === 'undecided')
      .map((one) => ({
        what: replacedWords(one, list.upgrades, locale),
        detail: '',
        why: oldWords.undecided,
        href: questionOf(one),
        action: oldWords.ask,
      }));
  }

  // A meter is worth borrowing where a reading is missing that no instrument at hand takes.
  function borrowed(): Step[] {
    const own = listInstruments(db).filter((one) => isAtHand(one, today));
    const missing = scoreCollection(scoring).measureFirst.flatMap((one) => {
      if (one.measure !== 'reading' || own.some((each) => takes(each, one.kind))) return [];
      const meter = meterFor(parts, one.kind);
      return meter === null ? [] : [{ meter: meter.name, kind: one.kind, enclosureId: one.enclosureId }];
    });
    return [...new Set(missing.map((one) => one.meter))].map((meter) => {
      const wanting = missing.filter((one) => one.meter === meter);
      const kinds = [...new Set(wanting.map((one) => readingNames[one.kind]))];
      const places = [...new Set(wanting.map((one) => placeWords(one.enclosureId, collection)))];
      return {
        what: meter,
        detail: '',
        why: words.borrowWhy(listed(kinds), listed(places)),
        href: paths.measuring.show,
        action: 'What a reading is worth',
      };
    });
  }
}

// One animal after the other, as they are gone to, the one with the most urgent thing first.
function byAnimal(buys: readonly OpenBuy[]): OpenBuy[] {
  const whose = (one: OpenBuy) => one.animals.join();
  const groups = new Map<string, OpenBuy[]>();
  for (const one of buys) {
    const group = groups.get(whose(one));
    if (group === undefined) groups.set(whose(one), [one]);
    else group.push(one);
  }
  return [...groups.values()].flat();
}

// What is done before anything else, the same on the first page, the roadmap and the sheet of the month: what a hand can do at once about
// a severe shortfall, and what is proposed that would end one and no plan knows yet.

import type { PlainDate } from '../../src/calendar.ts';
import { formatMonth } from '../../src/calendar.ts';
import type { Collection, Enclosure } from '../../src/collection.ts';
import type { PartsList } from '../../src/parts.ts';
import { coolsAtOnce, type Proposal, servesTheRoom } from '../../src/proposals.ts';
import type { Scoring } from '../../src/score.ts';
import { type SevereShortfall, type ShortPlace, severeShortfalls, shortfallsIn } from '../../src/severe-shortfalls.ts';
import type { Need } from '../../src/species.ts';
import { enclosuresOf } from '../../src/upgrades.ts';
import type { Ledger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import type { PlanRecord } from '../db/plans.ts';
import { oncePer, whileSame } from '../db/unchanged.ts';
import { listUpgrades, type UpgradeRecord } from '../db/upgrades.ts';
import { paths } from '../paths.ts';
import { proposalName } from '../proposal-words.ts';
import { reasonSentence, severeSentence } from '../score-words.ts';
import { judgedFrom, scoreCollection } from '../scores.ts';
import { handBriefly, handSentence, offListSentence, urgentWords, waySentence } from '../urgent-words.ts';
import { listed } from '../words.ts';
import { openProposals } from './open-proposals.ts';
import { type Asked, type PagesView, pageOf } from './paging.ts';
import { priceOf } from './upgrades.view.ts';

type Link = { href: string; label: string };

/** One severe shortfall, with what to do about it. */
type UrgentLine = { whom: string; text: string; why: Link; ways: { text: string; what: string; links: Link[] }[] };

/** What views/partials/at-once.hbs shows. */
export type AtOnce = {
  heading: string;
  lines: UrgentLine[];
  pages: PagesView | null;
  /** One tap that takes what is proposed and plans again; null where nothing waits for it. */
  plan: { note: string; action: string; label: string } | null;
};

/** One of them in a line, for the first screen: what to do and for whom. */
export type AtOnceBriefly = { label: string; href: string; forWhom: string; isProposed: boolean; price: string | null };

type Gathered = { ledger: Ledger; today: PlainDate; scoring: Scoring };

// Of one enclosure they are found again only when something they hang on became another: what is in it, or what is on a list for it.
const shortfallsThere = whileSame<Enclosure, SevereShortfall<UpgradeRecord>[]>();

function shortfallsBefore(place: ShortPlace<UpgradeRecord>): SevereShortfall<UpgradeRecord>[] {
  const { scoring, scores, upgrades, proposals } = place;
  const from = [
    ...judgedFrom(scoring, scoring.collection),
    ...scores,
    ...upgrades,
    ...proposals.map((one) => knownBy(one).it),
  ];
  return shortfallsThere(scoring.collection.enclosures[0]!, from, () => shortfallsIn(place));
}

// What is proposed for a whole room is put together anew from all of its enclosures.
const knownBy = oncePer((one: Proposal) => ({ it: servesTheRoom(one) ? JSON.stringify(one) : one }));

const survey = oncePer((scoring: Scoring, upgrades: readonly UpgradeRecord[], proposals: readonly Proposal[]) =>
  severeShortfalls(scoreCollection(scoring).scored, scoring, upgrades, proposals, shortfallsBefore),
);

/** Every severe shortfall of the ledger as it stands, with what would end it. */
export function severeShortfallsOf(
  session: Session,
  parts: PartsList,
  gathered: Gathered,
): SevereShortfall<UpgradeRecord>[] {
  const { proposals } = openProposals(session, parts, gathered);
  return survey(gathered.scoring, listUpgrades(session), proposals);
}

/** Whether a shortfall stands among what is done before anything else; `planned` tells that there is a plan, which leads to what is proposed. */
export function isUrgent({ atOnce, proposed }: SevereShortfall, planned: boolean): boolean {
  return atOnce || (planned && proposed.length > 0);
}

/** How many animals' lines stand on one page. */
const LINES_A_PAGE = 20;

/**
 * What is done before anything else, a page at a time; null where nothing is. `canPlan` tells that planning takes up what is proposed.
 */
export function atOnceOf(
  shortfalls: readonly SevereShortfall<UpgradeRecord>[],
  { ledger, scoring }: Gathered,
  plan: PlanRecord | null,
  canPlan: boolean,
  asked: Asked,
): AtOnce | null {
  const urgent = shortfalls.filter((one) => isUrgent(one, plan !== null));
  if (urgent.length === 0) return null;
  const nameOf = new Map(scoring.collection.animals.map((one) => [one.id, one.name]));
  const lines = new Map<string, { names: string[]; one: SevereShortfall<UpgradeRecord>; text: string }>();
  for (const one of urgent) {
    const text = textOf(one, ledger);
    const key = `${one.enclosureId} ${text}`;
    const same = lines.get(key);
    if (same === undefined) lines.set(key, { names: [nameOf.get(one.animalId)!], one, text });
    else same.names.push(nameOf.get(one.animalId)!);
  }
  const { rows, pages } = pageOf([...lines.values()], asked, {
    what: 'things to do at once',
    name: 'at-once',
    id: 'at-once',
    size: LINES_A_PAGE,
  });
  const waiting = plan === null ? 0 : waitingFor(shortfalls).filter((one) => one.priced).length;
  return {
    heading: urgentWords.heading,
    lines: rows.map(({ names, one, text }) => ({ ...lineOf(one, ledger, plan), text, whom: listed(names) })),
    pages,
    plan:
      waiting === 0 || !canPlan
        ? null
        : { note: urgentWords.planNote(waiting), action: paths.roadmap.plan, label: urgentWords.plan(waiting) },
  };
}

/** What is wanted and cools an animal that is too warm, with whose it is: done first, also where the plan gains nothing by it. */
export function coolingOf(
  upgrades: readonly UpgradeRecord[],
  collection: Collection,
): { upgrade: UpgradeRecord; whose: string[] }[] {
  const namesIn = new Map<string | null, string[]>();
  for (const { enclosureId, name } of collection.animals)
    namesIn.set(enclosureId, [...(namesIn.get(enclosureId) ?? []), name]);
  return upgrades
    .filter((one) => one.status === 'wanted' && coolsAtOnce(one.proposalKey))
    .map((upgrade) => ({
      upgrade,
      whose: enclosuresOf(upgrade, collection).flatMap((id) => namesIn.get(id) ?? []),
    }));
}

/** Each of it in a few words, what a hand can do first and then what cools; empty where nothing is. */
export function atOnceBriefly(
  shortfalls: readonly SevereShortfall<UpgradeRecord>[],
  upgrades: readonly UpgradeRecord[],
  { ledger, scoring }: Gathered,
  plan: PlanRecord | null,
): AtOnceBriefly[] {
  const names = new Map(scoring.collection.animals.map((one) => [one.id, one.name]));
  const nameOf = (id: string) => names.get(id)!;
  const href = '#at-once';
  const hands = shortfalls.flatMap((one) =>
    one.reasons.flatMap((reason): AtOnceBriefly[] => {
      const label = handBriefly(reason);
      return label === null ? [] : [{ label, href, forWhom: nameOf(one.animalId), isProposed: false, price: null }];
    }),
  );
  const above = new Set(shortfalls.flatMap((one) => one.listed.map(({ id }) => id)));
  const cooling = coolingOf(upgrades, scoring.collection).flatMap(({ upgrade, whose }): AtOnceBriefly[] => {
    const isAbove = above.has(upgrade.id);
    // What mends nothing severe stands among what is free this month.
    if (whose.length === 0 || (!isAbove && plan === null)) return [];
    const where = isAbove ? href : '#free';
    return [{ label: upgrade.name, href: where, forWhom: listed(whose), isProposed: false, price: null }];
  });
  const proposed = plan === null ? [] : shortfalls.filter((one) => one.proposed.length > 0);
  return [
    ...hands,
    ...cooling,
    ...proposed.map((one) => ({
      label: proposalName(one.proposed[0]!.act, ledger.unitSystem),
      href,
      forWhom: nameOf(one.animalId),
      isProposed: true,
      price: one.proposed[0]!.priced ? priceOf(one.proposed[0]!.upgrade, ledger) : null,
    })),
  ];
}

/** The proposals that would end something severe and are on no list, each once. */
export function waitingFor(shortfalls: readonly SevereShortfall[]): SevereShortfall['proposed'] {
  const all = shortfalls.flatMap((one) => one.proposed);
  return all.filter((one, place) => all.findIndex(({ key }) => key === one.key) === place);
}

/** What is not on the list and would end a severe need of an animal, in words; null where nothing is. */
export type OffList = (animalId: string, need: Need) => string | null;

/** What is not on the list and would end what is severe. */
export function offListOf(shortfalls: readonly SevereShortfall<UpgradeRecord>[], ledger: Ledger): OffList {
  return (animalId, need) => {
    const ways = shortfalls
      .filter((one) => one.animalId === animalId && one.need.need === need)
      .flatMap(({ proposed, refused }) => [
        ...proposed.map((one) => ({
          name: proposalName(one.act, ledger.unitSystem),
          price: one.priced ? priceOf(one.upgrade, ledger) : null,
        })),
        ...refused.map((one) => ({ name: one.name, price: priceOf(one, ledger) })),
      ]);
    return ways.length === 0 ? null : offListSentence(ways);
  };
}

function textOf({ need, reasons }: SevereShortfall, ledger: Ledger): string {
  const hands = reasons.flatMap((one) => handSentence(one, ledger) ?? []);
  const first = reasons[0];
  return hands.length > 0
    ? [...new Set(hands)].join(' ')
    : `${severeSentence(need)}${first === undefined ? '' : ` ${reasonSentence(first, ledger)}`}`;
}

function lineOf(
  { animalId, listed: own, proposed, refused }: SevereShortfall<UpgradeRecord>,
  ledger: Ledger,
  plan: PlanRecord | null,
): Omit<UrgentLine, 'whom' | 'text'> {
  return {
    why: { href: paths.animals.show(animalId), label: 'Why' },
    ways: [
      ...own.map((one) => listedWay(one, ledger, plan)),
      ...proposed.map((one) => {
        const name = proposalName(one.act, ledger.unitSystem);
        return {
          text: waySentence({ is: one.priced ? 'proposed' : 'unpriced', name, price: priceOf(one.upgrade, ledger) }),
          what: name,
          links: [
            one.priced
              ? { href: paths.upgrades.list, label: urgentWords.choose }
              : { href: paths.upgrades.newFrom(one.key), label: 'Enter its price' },
          ],
        };
      }),
      ...refused.map((one) => ({
        text: waySentence({ is: 'refused', name: one.name, price: priceOf(one, ledger) }),
        what: one.name,
        links: [{ href: paths.upgrades.show(one.id), label: 'Look at it' }],
      })),
    ],
  };
}

// By upgrade the month in which a plan first buys it.
const monthsOf = oncePer(({ roadmap }: PlanRecord) => {
  const months = (roadmap?.months ?? []).toReversed();
  return new Map(months.flatMap(({ month, buys }) => buys.map((buy) => [buy.upgradeId, month] as const)));
});

function listedWay(one: UpgradeRecord, ledger: Ledger, plan: PlanRecord | null): UrgentLine['ways'][number] {
  const { id, name } = one;
  if (one.status === 'ordered')
    return {
      text: waySentence({ is: 'bought', name }),
      what: name,
      links: [{ href: paths.upgrades.fitted(id), label: 'Fit it' }],
    };
  const month = plan === null ? null : (monthsOf(plan).get(id) ?? null);
  const price = priceOf(one, ledger);
  return {
    text: waySentence({
      is: 'planned',
      name,
      price,
      month: month === null ? null : formatMonth(month, ledger.locale),
    }),
    what: name,
    links: [
      one.priceHigh === 0
        ? { href: paths.upgrades.fitted(id), label: 'Done' }
        : { href: paths.upgrades.bought(id), label: 'I bought it' },
    ],
  };
}

// The case for a collection on a page or two of paper, for a partner, landlord, vet, licensing officer or society: what is kept, how far it is
// from what it needs and by which source, what is bought when, and what the ledger cannot say.

import type { FastifyInstance } from 'fastify';
import { formatDate, formatMonth } from '../../src/calendar.ts';
import { formatMoney, type Money, sumMoney } from '../../src/money.ts';
import type { RoadmapBuy } from '../../src/roadmap.ts';
import { type AnimalScore, bandOfAnimal, shareFromMemory } from '../../src/score.ts';
import { speciesOf } from '../../src/species.ts';
import { formatSize } from '../../src/units.ts';
import { gatherCap } from '../cap.ts';
import { cautions } from '../caution-words.ts';
import { latestPlan } from '../db/plans.ts';
import { needNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { caseWords as words } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { pointMonths } from '../plan-words.ts';
import { reasonSentence, scoreText } from '../score-words.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { listed } from '../words.ts';
import { capPage } from './cap.view.ts';
import { sourceNote } from './source-note.ts';

// What goes on two pages (own choices); the pages of the animals hold everything.
const MOST_REASONS = 2;
const MOST_MONTHS = 12;

/** What views/pages/case.hbs shows. */
type CasePage = {
  heading: string;
  lead: string;
  empty: string | null;
  facts: { term: string; value: string }[];
  animals: { name: string; species: string; enclosure: string; score: string; worst: string; planned: string }[];
  shortfalls: { name: string; lines: { text: string; source: string }[] }[];
  met: string | null;
  roadmap: {
    lead: string;
    rows: { month: string; what: string; sum: string; cash: string }[];
    more: string | null;
    gains: string[];
  } | null;
  noRoadmap: string;
  cap: string;
  law: string[];
  cautions: string[];
};

export function casePages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.case, (_request, reply) => {
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection } = scoring;
    const { locale, currency, unitSystem: system } = ledger;
    const { scored, homeless } = scoreCollection(scoring);
    const plan = latestPlan(db);
    const roadmap = plan?.roadmap ?? null;
    const amount = (sum: Money) => formatMoney(sum, roadmap?.currency ?? currency, locale);
    const enclosures = new Set(scored.map(({ animal }) => animal.enclosureId));
    const kept = [...new Set(collection.animals.map((one) => speciesOf(scoring.library, one)))];
    const shortfalls = scored.map(({ animal, score }) => ({ name: animal.name, lines: linesOf(score) }));
    const months = roadmap?.months.filter((one) => one.buys.length > 0) ?? [];
    const model: CasePage = {
      heading: words.heading,
      lead: words.lead(formatDate(today, locale)),
      empty: scored.length === 0 ? words.empty : null,
      facts: [
        { term: words.animalsKept, value: words.counted(collection.animals.length, enclosures.size) },
        ...(ledger.monthlySum === null
          ? []
          : [{ term: words.sum, value: formatMoney(ledger.monthlySum, currency, locale) }]),
        ...(homeless.length === 0 ? [] : [{ term: words.homeless, value: listed(homeless.map((one) => one.name)) }]),
        ...(scored.length === 0 ? [] : [{ term: words.memory, value: words.memoryShare(memoryOf(scored)) }]),
      ],
      animals: scored.map(({ animal, score }) => {
        const species = speciesOf(scoring.library, animal);
        const box = collection.enclosures.find((one) => one.id === animal.enclosureId)!;
        const drawn = roadmap?.animals.find((one) => one.animalId === animal.id);
        return {
          name: animal.name,
          species: `${species.commonName} (${species.scientificName})`,
          enclosure: `${box.name}, ${formatSize(box.lengthMm, box.depthMm, box.heightMm, system)}`,
          score: scoreText(bandOfAnimal(score), score.score, score.low, score.high),
          worst: worstOf(score),
          planned:
            drawn === undefined
              ? '–'
              : words.planned(Math.round(drawn.planned.at(-1)!), Math.round(drawn.baseline.at(-1)!)),
        };
      }),
      shortfalls: shortfalls.filter((one) => one.lines.length > 0),
      met: scored.length > 0 && shortfalls.every((one) => one.lines.length === 0) ? words.met : null,
      roadmap:
        roadmap === null || plan === null
          ? null
          : {
              lead: words.roadmapLead(
                formatDate(plan.madeOn, locale),
                formatMonth(roadmap.months[0]!.month, locale),
                formatMonth(roadmap.months.at(-1)!.month, locale),
                amount(sumMoney(months.map((one) => one.bought))),
              ),
              rows: months.slice(0, MOST_MONTHS).map((one) => ({
                month: formatMonth(one.month, locale),
                what: boughtIn(one.buys),
                sum: amount(one.bought),
                cash: amount(one.cash),
              })),
              more: months.length > MOST_MONTHS ? words.moreMonths(months.length - MOST_MONTHS) : null,
              gains: [
                words.gains(pointMonths(roadmap.points.planned), pointMonths(roadmap.points.baseline)),
                words.severe(Math.round(roadmap.severe.planned), Math.round(roadmap.severe.baseline)),
              ],
            },
      noRoadmap: plan === null ? words.noPlan : words.notPayable,
      cap: capWords(),
      law: kept.flatMap((one) =>
        one.legal.length === 0
          ? []
          : [
              `${one.scientificName}: ${listed([...new Set(one.legal.map(({ where }) => where))])}. ${words.lawSources(
                listed([
                  ...new Set(
                    one.legal.map((each) => {
                      const { text, sureness } = sourceNote(scoring.library, each);
                      return `${text} (${sureness})`;
                    }),
                  ),
                ]),
              )}`,
            ],
      ),
      cautions: [words.notAFinding, cautions.unknowable, cautions.vet, cautions.mainsAndWater],
    };
    return render(reply, 'case', model, {
      title: model.heading,
      current: 'home',
      back: { href: paths.roadmap.show, label: 'Roadmap' },
    });

    // The verdict of the cap's own page, in its words.
    function capWords(): string {
      const { verdict, unknown } = capPage(gatherCap(db, library(), now()), {}, []);
      if (verdict === null) return words.noCap;
      const { heading, first, more } = verdict;
      // A number found while figures are missing is no claim to be made to others.
      const figures = unknown.length === 0 ? [first] : [words.capUnknown(unknown.length)];
      return [heading, ...more, ...figures].join(' ');
    }

    function linesOf({ needs }: AnimalScore): { text: string; source: string }[] {
      const worst = needs
        .filter((one) => one.severe || one.value < 70)
        .toSorted((a, b) => Number(b.severe) - Number(a.severe) || a.value - b.value);
      return worst
        .flatMap((need) =>
          need.reasons
            .filter(({ lost }) => lost >= 0.5)
            .slice(0, 1)
            .map(({ reason, cited }) => {
              const { text, sureness } = sourceNote(scoring.library, cited);
              return {
                text: `${needNames[need.need]}${need.severe ? words.isSevere : ''}: ${reasonSentence(reason, ledger)}`,
                source: `${text}; ${sureness}`,
              };
            }),
        )
        .slice(0, MOST_REASONS);
    }
  });
}

// Free actions are many and small; they stand by name in the ledger.
function boughtIn(buys: readonly RoadmapBuy[]): string {
  const free = buys.filter((one) => one.price === 0).length;
  const named = buys.filter((one) => one.price > 0).map((one) => one.name);
  return listed([...named, ...(free === 0 ? [] : [words.free(free)])]);
}

function worstOf({ needs }: AnimalScore): string {
  const severe = needs.filter((one) => one.severe);
  if (severe.length > 0) return listed(severe.map((one) => needNames[one.need]));
  return words.noneSevere;
}

// How many in a hundred of the parts that decide a score hang on a target from memory, over all animals.
function memoryOf(scored: readonly { score: AnimalScore }[]): number {
  const shares = scored.map(({ score }) => shareFromMemory(score.needs));
  return Math.round((100 * shares.reduce((sum, one) => sum + one, 0)) / shares.length);
}

// What the page on room for one animal shows, already in words: the rule that counts beside the strictest and the loosest, all rules with
// their sources, those that are silent, and what fits into the space there is.

import type { PlainDate } from '../../src/calendar.ts';
import { formatDate } from '../../src/calendar.ts';
import type { Enclosure } from '../../src/collection.ts';
import type { BoxMeasures, RuleAtSize, RuleComparison, SpaceComparison, SpaceFit, SpaceNeed } from '../../src/space.ts';
import { ASSUMED_WALL_MM, isCalledMinimum, whatFits } from '../../src/space.ts';
import type { CareLibrary, Species } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatArea, formatQuantity, formatSize, formatSpan } from '../../src/units.ts';
import type { AnimalRecord } from '../db/collection.ts';
import type { Ledger } from '../db/ledger.ts';
import { shortageWords, sizeWords } from '../fitting-words.ts';
import { basisWords, measureNames, ruleSetNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { calledMinimum, silenceWords, spaceNeedWords } from '../score-words.ts';
import { ruleListWords } from '../species-words.ts';
import { capital, listed } from '../words.ts';
import type { GrowthView } from './growth.view.ts';
import { type RuleLists, ruleLists } from './rule-lists.view.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

type NamedBox = BoxMeasures & { name: string };

/** Everything the page is made from. */
export type AroundSpace = {
  row: AnimalRecord;
  species: Species;
  box: Enclosure | null;
  run: { lengthMm: number; depthMm: number } | null;
  comparison: SpaceComparison;
  horizonOn: PlainDate;
  boxes: readonly NamedBox[];
  /** Until when a box is large enough, as the end of a sentence. */
  lasts: (box: BoxMeasures) => string;
  library: CareLibrary;
  ledger: Ledger;
  growth: GrowthView | null;
};

type Cell = { asks: string; size: string; meets: string };

/** A rule as views/partials/space-rule.hbs draws it; days that ask for the same share a cell. `roles` is empty where it has none. */
type RuleCard = {
  roles: string;
  title: string;
  basis: string;
  cells: ({ when: string } & Cell)[];
  notes: string[];
  source: SourceNote;
};

/** What views/pages/space.hbs shows. */
type SpacePage = {
  heading: string;
  lead: string;
  facts: { term: string; value: string }[];
  beside: RuleCard[];
  noRule: string | null;
  others: RuleCard[];
  silent: { title: string; why: string; source: SourceNote }[];
  shelves: string;
  fits: { heading: string; wanted: string; lines: string[] }[];
  limits: string;
  limitsHref: string | null;
  growth: GrowthView | null;
  speciesHref: string;
  ruleLists: RuleLists;
};

const shelves =
  'Shelves and ledges are not counted as floor: the rules read speak of the ground of the enclosure, none credits raised floor, and how much of a shelf an animal uses is unknown. They count as things to climb.';

/** The page of one animal. */
export function spacePage(around: AroundSpace): SpacePage {
  const { row, species, box, comparison, horizonOn, library, ledger } = around;
  const { unitSystem: system, locale } = ledger;
  const { chosen, strictest, loosest } = comparison;
  const spoken = new Map<RuleComparison, string[]>();
  const add = (rule: RuleComparison | null, role: string) => {
    if (rule !== null) spoken.set(rule, [...(spoken.get(rule) ?? []), role]);
  };
  add(chosen, 'counts in the score');
  add(strictest, 'strictest');
  add(loosest, 'loosest');
  const line = (one: RuleComparison, roles: readonly string[]): RuleCard => ({
    roles: capital(listed(roles)),
    title: one.rule.title,
    basis: `${ruleSetNames[one.rule.ruleSet]}: ${basisWords[one.rule.basis]}`,
    cells: sharedCells([
      { when: 'today', ...cellOf(one.today.large, box !== null, system) },
      { when: `by ${formatDate(horizonOn, locale)}`, ...cellOf(one.horizon.large, box !== null, system) },
      { when: 'fully grown', ...cellOf(one.grown, box !== null, system) },
    ]),
    notes: [
      ...(one.worthAtMost < 100 ? [`Meeting it alone is worth at most ${one.worthAtMost} of 100.`] : []),
      ...(isCalledMinimum(one.rule) ? [calledMinimum] : []),
      ...(one.statedForAdults ? ['It is stated for adults; a young animal may do with less.'] : []),
    ],
    source: sourceNote(library, one.rule),
  });
  const isSilent = (one: RuleComparison) => one.today.large.status !== 'held';
  return {
    heading: `Room for ${row.name}`,
    lead: `What published rules ask of the ground and height of an enclosure for ${species.commonName}, and what would meet them.`,
    facts: factsOf(around),
    beside: [...spoken].map(([rule, roles]) => line(rule, roles)),
    noRule:
      spoken.size > 0 ? null : 'No rule of this species says anything for these animals, so no size can be given.',
    others: comparison.rules.filter((one) => !spoken.has(one) && !isSilent(one)).map((one) => line(one, [])),
    silent: comparison.rules.flatMap((one) => {
      const at = one.today.large;
      return at.status === 'held'
        ? []
        : [{ title: one.rule.title, why: capital(silenceWords(at, system)), source: sourceNote(library, one.rule) }];
    }),
    shelves,
    fits: fitsOf(around),
    limits: limitsWords(box, system),
    growth: around.growth,
    limitsHref: box === null ? null : paths.enclosures.build(box.id),
    speciesHref: paths.species.show(species.id),
    ruleLists: ruleLists(species, ledger, { name: 'animal', value: String(row.id) }, [
      chosen === null
        ? ruleListWords.nobodyDecides(row.name)
        : comparison.rules.filter((one) => one.chosen && one.today.large.status === 'held').length === 1
          ? ruleListWords.aloneDecides(row.name)
          : ruleListWords.decidesFor(row.name, chosen.rule.title),
    ]),
  };
}

function factsOf({ row, species, box, run, comparison, horizonOn, ledger }: AroundSpace): SpacePage['facts'] {
  const { unitSystem: system, locale } = ledger;
  const { today, horizon, grownMm, animals, measure } = comparison;
  const span = ({ lowMm, highMm }: { lowMm: number; highMm: number }) => formatSpan(lowMm, highMm, 'length', system);
  return [
    {
      term: 'Length today',
      value: `${span(today)}, ${measureNames[measure]}${comparison.measured ? '' : '; never measured, so the usual adult size is taken'}`,
    },
    {
      term: `Length by ${formatDate(horizonOn, locale)}`,
      value: `${span(horizon)}, growing in a straight line (our own assumption)`,
    },
    { term: 'Fully grown', value: `up to ${formatQuantity(grownMm, 'length', system)}` },
    { term: 'Animals in its box', value: String(animals) },
    {
      term: 'Its box, inside',
      value:
        box === null
          ? `${row.name} lives in no enclosure of this ledger`
          : `“${box.name}”, ${formatSize(box.lengthMm, box.depthMm, box.heightMm, system)}, ${formatArea((box.lengthMm * box.depthMm) / 1e6, system)} of floor`,
    },
    ...(run === null
      ? []
      : [
          {
            term: 'In the open air this month',
            value: `a run of ${formatArea((run.lengthMm * run.depthMm) / 1e6, system)}; the better of the two counts`,
          },
        ]),
    {
      term: 'Height',
      value: species.habit === 'climbing' ? 'counts, because it climbs' : 'is shown and does not count in the score',
    },
  ];
}

// An adult is asked the same on every day: said once, under all of them.
function sharedCells(cells: RuleCard['cells']): RuleCard['cells'] {
  const shared = new Map<string, { days: string[]; cell: Cell }>();
  for (const { when, ...cell } of cells) {
    const key = JSON.stringify(cell);
    shared.set(key, { cell, days: [...(shared.get(key)?.days ?? []), when] });
  }
  return [...shared.values()].map(({ days, cell }) => ({ when: capital(listed(days)), ...cell }));
}

function cellOf(at: RuleAtSize, hasBox: boolean, system: UnitSystem): Cell {
  if (at.status !== 'held') return { asks: capital(silenceWords(at, system)), size: '', meets: '' };
  const asks = capital(spaceNeedWords(at.needed, system));
  const size = `Smallest box: ${sizeWords(at.smallest, system)}.`;
  if (!hasBox) return { asks, size, meets: '' };
  const short = at.dimensions.filter((one) => one.ratio < 1);
  const parts = short.map(
    (one) => `${Math.floor(100 * one.ratio)} % of the ${one.dimension}${one.counts ? '' : ' (not scored)'}`,
  );
  return { asks, size, meets: at.meets ? 'The present box meets it.' : `The present box has ${listed(parts)}.` };
}

function limitsWords(box: Enclosure | null, system: UnitSystem): string {
  if (box === null) return 'Nothing is known of the space you have for it; only sizes are compared.';
  const { mostLengthMm, mostDepthMm, mostHeightMm } = box.build;
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const parts = [
    ...(mostLengthMm === null ? [] : [`${length(mostLengthMm)} of length`]),
    ...(mostDepthMm === null ? [] : [`${length(mostDepthMm)} of depth`]),
    ...(mostHeightMm === null ? [] : [`${length(mostHeightMm)} of height`]),
  ];
  if (parts.length === 0)
    return 'You did not say how much space you have where it stands, so nothing is too large here.';
  return `You have ${listed(parts)} for the outside of a box; what is not named is not limited.`;
}

function fitsOf({ species, box, comparison, boxes, lasts, ledger }: AroundSpace): SpacePage['fits'] {
  const { wanted } = comparison;
  if (wanted === null) return [];
  const { unitSystem: system } = ledger;
  const build = box?.build ?? null;
  const limits = {
    lengthMm: build?.mostLengthMm ?? null,
    depthMm: build?.mostDepthMm ?? null,
    heightMm: build?.mostHeightMm ?? null,
  };
  const wallMm = build?.wallMm ?? ASSUMED_WALL_MM;
  const heightCounts = species.habit === 'climbing';
  const section = (heading: string, needed: SpaceNeed) => ({
    heading,
    wanted: `To meet every rule that counts it takes ${spaceNeedWords(needed, system)}.`,
    lines: fitLines(whatFits(needed, limits, boxes, { heightCounts, wallMm }), wallMm, lasts, system),
  });
  return [section('For its size today', wanted.today), section('Fully grown', wanted.grown)];
}

function fitLines(
  { boxes, homeMade }: SpaceFit<NamedBox>,
  wallMm: number,
  lasts: AroundSpace['lasts'],
  system: UnitSystem,
): string[] {
  const enough = boxes.filter((one) => one.ratio >= 1);
  const best = boxes[0];
  const wall = formatQuantity(wallMm, 'length', system);
  const size = (one: BoxMeasures) => formatSize(one.lengthMm, one.depthMm, one.heightMm, system);
  return [
    ...(enough.length > 0
      ? enough
          .slice(0, 4)
          .map(
            ({ box }) => `Of the catalogue: ${box.name} (${size(box)} inside) fits and gives enough; it ${lasts(box)}.`,
          )
      : [
          best === undefined
            ? 'No box of the catalogue that can house this species fits into the space you have.'
            : `No box of the catalogue that can house this species and fits gives enough; the best, ${best.box.name} (${size(best.box)} inside), gives ${Math.floor(100 * best.ratio)} %.`,
        ]),
    homeMade.status === 'fits'
      ? `Made to measure: ${sizeWords(homeMade.inside, system)} inside, ${sizeWords(homeMade.outside, system)} outside with walls of ${wall}${homeMade.turned ? ', its long side along the depth of the space' : ''}.`
      : `The space falls short by ${shortageWords(homeMade.shortages, system)} with walls of ${wall}. The largest box it holds, ${size(homeMade.largest)} inside, gives ${Math.floor(100 * homeMade.ratio)} % of what is asked for.`,
  ];
}

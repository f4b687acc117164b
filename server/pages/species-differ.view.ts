// What the page of a species says of its sources: how well its figures are known, and where sources differ, side by side.

import { countFiguresOf, figuresWithOthers } from '../../src/care-figures.ts';
import { adultDemands, type DemandSpan, spansOf } from '../../src/space-demands.ts';
import { type CareLibrary, type Cited, findSource, type RuleSet, type Species } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSpan } from '../../src/units.ts';
import { ruleSetNames, temperatureNames } from '../kind-words.ts';
import { surenessLine } from '../source-words.ts';
import { amountWords, differWords, dimensionNames, knownSentence } from '../species-words.ts';
import { capital } from '../words.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

/** `source` stands whole below the row, or only as its sureness when it is one of the rules below the group. */
type DifferRow = { what: string; text: string; sureness: string | null; source: SourceNote | null };

/** The section as views/partials/sources-differ.hbs draws it; `lead` says so when no sources differ. */
export type SourcesDiffer = {
  known: string;
  lead: string;
  groups: { heading: string; lead: string | null; rows: DifferRow[]; rules: { title: string; source: SourceNote }[] }[];
};

/** Where the sources of a species give different answers: UV zones, ceilings of its zones, room for an adult, and figures in notes. */
export function sourcesDiffer(
  species: Species,
  library: CareLibrary,
  ruleSets: readonly RuleSet[],
  system: UnitSystem,
): SourcesDiffer {
  const { uv } = species;
  const zones = new Set(uv.zones.map(({ zone }) => zone));
  const bands = library.uvZones.filter(({ zone }) => zones.has(zone));
  const { mm, demands } = adultDemands(species, ruleSets);
  const adult = formatQuantity(mm, 'length', system);
  const spans = spansOf(demands).filter(({ least, most }) => least.amount < most.amount);
  const whole = (what: string, text: string, cited: Cited): DifferRow => ({
    what,
    text,
    sureness: null,
    source: sourceNote(library, cited),
  });
  const groups: SourcesDiffer['groups'] = [
    {
      heading: 'UV zone',
      lead: differWords.zonesLead,
      rows:
        zones.size < 2
          ? []
          : uv.zones.map((one) => {
              const band = bands.find(({ zone }) => zone === one.zone);
              const mean =
                band === undefined
                  ? 'What it means is unknown.'
                  : `Mean exposure ${formatSpan(band.meanLow, band.meanHigh, 'uv-index', 'metric')} UV index.`;
              return whole(`Zone ${one.zone}`, mean, one);
            }),
      rules: [],
    },
    ...bands
      .filter(({ ceilings }) => new Set(ceilings.map(({ uvi }) => uvi)).size > 1)
      .map(({ zone, ceilings }) => ({
        heading: `Highest exposure recorded in zone ${zone}`,
        lead: differWords.ceilingLead,
        rows: ceilings.map((one) =>
          whole(`UV index ${formatQuantity(one.uvi, 'uv-index', 'metric')}`, 'A ceiling, not a target.', one),
        ),
        rules: [],
      })),
    {
      heading: `Room for one adult of ${adult}`,
      lead: differWords.roomLead,
      rows: spans.flatMap((span) => roomRows(span, library, system)),
      rules: species.space
        .filter((rule) => spans.some(({ least, most }) => least.rule === rule || most.rule === rule))
        .map((rule) => ({ title: rule.title, source: sourceNote(library, rule) })),
    },
    {
      heading: 'Other figures',
      lead: differWords.otherLead,
      rows: figuresWithOthers(species).map((one) => {
        const place = /^temperatures\.(\d+)$/.exec(one.path)?.[1];
        const target = place === undefined ? null : species.temperatures[Number(place)]!;
        if (target === null) return whole('Humidity', humidityText(species), one);
        const taken = `Taken here: ${formatSpan(target.low, target.high, 'temperature', system)}.`;
        return whole(capital(temperatureNames[target.kind]), taken, one);
      }),
      rules: [],
    },
  ].filter(({ rows }) => rows.length > 0);
  return {
    known: knownSentence(countFiguresOf(species, library)),
    lead: groups.length === 0 ? differWords.none : differWords.lead,
    groups,
  };
}

function roomRows(
  { dimension, least, most, silent }: DemandSpan,
  library: CareLibrary,
  system: UnitSystem,
): DifferRow[] {
  const name = dimensionNames[dimension];
  const line = (word: string, { rule, amount }: DemandSpan['least'], more = ''): DifferRow => ({
    what: `${name}: ${word}`,
    text: `${amountWords(dimension, amount, system)}, by “${rule.title}” (${ruleSetNames[rule.ruleSet]}).${more}`,
    sureness: surenessLine(rule, findSource(library, rule.source)),
    source: null,
  });
  return [line('the least', least, differWords.silentRules(silent, dimension)), line('the most', most)];
}

function humidityText({ humidity: { day, night } }: Species): string {
  const span = (band: { low: number; high: number }) => formatSpan(band.low, band.high, 'humidity', 'metric');
  return `Taken here: ${night === null ? span(day) : `${span(day)} by day, ${span(night)} at night`}.`;
}
